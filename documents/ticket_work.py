"""The work on paper, section by section: rows, strips of boxes, checks and things to do."""

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from documents.flow import Block, space
from documents.fonts import BOLD, REGULAR, width
from documents.page import WIDTH
from documents.pen import HAIR, INK, SOFT, Pen, middle
from documents.text import wrap
from documents.ticket_cells import COUNT, Density, cell_of, pair_block, row_block
from documents.ticket_grid import grid_blocks
from documents.ticket_rows import GROUP, Check, Item, Mark, Pair, Section, Step, Strip, Todo
from documents.ticket_short import short_text, shortened

_CELL: Final = 23.0
_BETWEEN: Final = 12.0


def _boxes(strip: Strip, start: int, density: Density) -> Block:
    """Return the numbered boxes of two tens of rows, beginning with row `start`."""
    high = density.box + 3

    def draw(pen: Pen, top: float, _height: float) -> None:
        for place in range(2 * GROUP):
            row = start + place
            if strip.first <= row <= strip.last:
                x = place * _CELL + (_BETWEEN if place >= GROUP else 0)
                pen.box(x, top - high, _CELL - 2.5, high, 0.7)
                middle_x = x + (_CELL - 2.5) / 2 - (3.5 if strip.colours else 0)
                pen.centre(middle_x, middle(top - high / 2, 8), str(row), 8)
                if strip.colours:
                    sign = strip.signs[strip.colours[row - strip.first]]
                    pen.right(x + _CELL - 4, middle(top - high / 2, 8), sign, 8, BOLD)
        pen.right(WIDTH, middle(top - high / 2, 8), strip.count, 8, tone=SOFT)

    return Block(high + 4, draw)


def _signs(strip: Strip) -> Iterator[str]:
    if strip.colours:
        named = ", ".join(f"{sign} {colour}" for colour, sign in strip.signs.items())
        yield f"The letter in the box is the colour: {named}."


def _strip(strip: Strip, density: Density) -> Iterator[Block]:
    text = short_text(strip.text) + "." if density.short else strip.text
    said = " ".join((text, strip.sides, *_signs(strip)))
    lines = wrap(said, REGULAR, density.size, WIDTH - 86 - COUNT)
    height = len(lines) * density.leading + 9

    def draw(pen: Pen, top: float, _height: float) -> None:
        base = top - 3 - density.size
        pen.text(0, base, f"{strip.word}s {strip.title}", density.size + 0.5, BOLD)
        for place, line in enumerate(lines):
            pen.text(86, base - place * density.leading, line, density.size)
        pen.right(WIDTH, base, strip.count, density.size + 1, BOLD)

    yield Block(height, draw, keep=True)
    start = (strip.first - 1) // GROUP * GROUP + 1
    for row in range(start, strip.last + 1, 2 * GROUP):
        yield _boxes(strip, row, density)
    yield space(4)


def _check(check: Check, density: Density) -> Block:
    size = density.size

    def draw(pen: Pen, top: float, height: float) -> None:
        y = top - height / 2
        pen.fill(0, top - height + 2, WIDTH, height - 4)
        pen.fill(0, top - height + 2, 3, height - 4, INK)
        pen.text(10, middle(y, size), f"Measure {check.when}", size, BOLD)
        pen.text(136, middle(y, size), check.what, size)
        pen.text(296, middle(y, size), check.value, size, BOLD)
        pen.text(412, middle(y, 8), "measured", 8, tone=SOFT)
        pen.rule(452, y - 5, WIDTH - 8, y - 5, 0.7, INK)

    return Block(density.box + 8, draw)


def _mark(mark: Mark, density: Density) -> Block:
    def draw(pen: Pen, top: float, height: float) -> None:
        y = top - height / 2
        pen.text(0, middle(y, density.size), mark.text, density.size, BOLD)
        end = width(mark.text, BOLD, density.size) + 8
        pen.rule(end, y, WIDTH, y, 0.9, HAIR)

    return Block(density.box + 3, draw, keep=True)


def _todo(todo: Todo, density: Density, room: float) -> Block:
    left = density.box + 10
    lines = wrap(todo.text, REGULAR, density.size, room - left)
    height = max(len(lines) * density.leading + density.pad + 2, density.box + density.air)

    def draw(pen: Pen, top: float, full: float) -> None:
        y = top - full / 2
        pen.box(0, y - density.box / 2, density.box, density.box)
        first = middle(y, density.size, len(lines), density.leading)
        for place, line in enumerate(lines):
            pen.text(left, first - place * density.leading, line, density.size)

    return Block(height, draw)


def item_blocks(item: Item, density: Density, room: float = WIDTH) -> Iterator[Block]:
    """Yield the blocks of one item of a section."""
    if isinstance(item, Step):
        yield row_block((cell_of(item, 0, WIDTH, density),))
    elif isinstance(item, Pair):
        yield pair_block(item, density)
    elif isinstance(item, Strip):
        yield from _strip(item, density)
    elif isinstance(item, Check):
        yield _check(item, density)
    elif isinstance(item, Mark):
        yield _mark(item, density)
    else:
        yield _todo(item, density, room)


def _opening(section: Section, density: Density) -> str:
    """Return what is said above the rows, with what is then left out of each of them."""
    said = [section.opening] if section.opening else []
    if not density.plain_said and any(isinstance(item, Pair) for item in section.items):
        plain = next(item for item in section.items if isinstance(item, Pair)).second.text
        said.append(f"Rows without a sentence: {plain}")
    return " ".join(said)


def section_blocks(section: Section, density: Density, room: float = WIDTH) -> Iterator[Block]:
    """Yield a section: its heading, what is done first, its items."""
    if density.short:
        section = shortened(section)
    opening = _opening(section, density)
    lines = wrap(opening, REGULAR, density.size, room) if opening else ()

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top - 5, room, top - 5, 1.2, INK)
        with pen.heading(2, section.title, top):
            pen.text(0, top - 19, section.title, 13, BOLD)
        for place, line in enumerate(lines):
            pen.text(0, top - 32 - place * density.leading, line, density.size)

    yield Block(25 + len(lines) * density.leading, draw, keep=True)
    for rows, items in groupby(section.items, lambda item: isinstance(item, Step | Pair)):
        if rows and density.short:
            run = tuple(item for item in items if isinstance(item, Step | Pair))
            yield from grid_blocks(run, density)
        else:
            for item in items:
                yield from item_blocks(item, density, room)
