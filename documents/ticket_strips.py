"""Rows that are all alike on paper: one instruction and a box with its number for each."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from documents.flow import Block, space
from documents.fonts import BOLD, REGULAR
from documents.page import WIDTH
from documents.pen import SOFT, Pen, middle
from documents.text import wrap
from documents.ticket_cells import COUNT, Density
from documents.ticket_rows import GROUP, Strip
from documents.ticket_short import short_text

_TITLE: Final = 86.0
_BETWEEN: Final = 12.0
"""Between two tens."""
_MOST_TIGHT: Final = 10.0
"""The largest tick box with which three tens stand on a line."""


@dataclass(frozen=True, slots=True)
class _Boxes:
    """How the boxes stand: tens on a line, width of each with its gap, height, type, air below."""

    tens: int
    wide: float
    gap: float
    high: float
    size: float
    below: float


def _boxes_of(strip: Strip, density: Density) -> _Boxes:
    """Return three tens on a line where rows must be set tight and have no letter, else two."""
    if not density.tabled:
        return _Boxes(2, 23.0, 2.5, density.box + 3, 8.0, 4.0)
    high, size = density.box + 1.5, min(8.0, density.size)
    if strip.signs or density.box > _MOST_TIGHT:
        return _Boxes(2, 23.0, 2.0, high, size, 2.0)
    return _Boxes(3, 16.7, 1.5, high, size, 2.0)


def _box(pen: Pen, x: float, top: float, row: int, sign: str, how: _Boxes) -> None:
    """Draw the box of one row, and in it its number and the letter of its colour."""
    wide = how.wide - how.gap
    base = middle(top - how.high / 2, how.size)
    pen.box(x, top - how.high, wide, how.high, 0.7)
    pen.centre(x + wide / 2 - (3.5 if sign else 0), base, str(row), how.size)
    if sign:
        pen.right(x + wide - 1.5, base, sign, how.size, BOLD)


def _line(strip: Strip, start: int, how: _Boxes, again: Block) -> Block:
    """Return the boxes of some tens of rows, beginning with row `start`."""

    def draw(pen: Pen, top: float, _height: float) -> None:
        for place in range(how.tens * GROUP):
            row = start + place
            if strip.first <= row <= strip.last:
                x = place * how.wide + place // GROUP * _BETWEEN
                sign = strip.signs[strip.colours[row - strip.first]] if strip.signs else ""
                _box(pen, x, top, row, sign, how)
        if how.tens * GROUP * how.wide + how.tens * _BETWEEN < WIDTH - COUNT:
            base = middle(top - how.high / 2, how.size)
            pen.right(WIDTH, base, strip.count, how.size, tone=SOFT)

    return Block(how.high + how.below, draw, again=again)


def _told(strip: Strip, density: Density) -> Iterator[str]:
    yield short_text(strip.text) + "." if density.short else strip.text
    yield strip.sides
    if strip.turns:
        yield strip.turns
    if strip.signs:
        named = ", ".join(f"{sign} {colour}" for colour, sign in strip.signs.items())
        yield f"The letter in the box is the colour: {named}."


def _heading(strip: Strip, density: Density, title: str) -> Block:
    lines = wrap(" ".join(_told(strip, density)), REGULAR, density.size, WIDTH - _TITLE - COUNT)
    above = 1 if density.tight else 3

    def draw(pen: Pen, top: float, _height: float) -> None:
        base = top - above - density.size
        pen.text(0, base, title, density.size + 0.5, BOLD)
        for place, line in enumerate(lines):
            pen.text(_TITLE, base - place * density.leading, line, density.size)
        pen.right(WIDTH, base, strip.count, density.size + 1, BOLD)

    return Block(len(lines) * density.leading + 3 * above, draw, keep=True)


def strip_blocks(strip: Strip, density: Density) -> Iterator[Block]:
    """Yield the instruction of rows that are alike, and their boxes; each page has both."""
    title = f"{strip.word}s {strip.title}"
    heading = _heading(strip, density, title)
    yield heading
    how = _boxes_of(strip, density)
    start = (strip.first - 1) // GROUP * GROUP + 1
    for row in range(start, strip.last + 1, how.tens * GROUP):
        yield _line(strip, row, how, heading)
    yield space(1 if density.tight else 4)
