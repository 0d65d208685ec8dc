"""The work on paper, section by section: rows, strips of boxes, checks and things to do."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby

from documents.flow import Block, stacked
from documents.fonts import BOLD, REGULAR, width
from documents.page import WIDTH
from documents.pen import HAIR, INK, SOFT, Pen, middle
from documents.text import wrap
from documents.ticket_cells import Density, cell_of, pair_block, row_block
from documents.ticket_grid import grid_blocks
from documents.ticket_headings import heading, running_heading, table_heading
from documents.ticket_rows import Check, Item, Mark, Pair, Section, Step, Strip, Todo
from documents.ticket_short import shortened
from documents.ticket_strips import strip_blocks
from documents.ticket_table import tabled


def _check(check: Check, density: Density) -> Block:
    size = density.size

    def draw(pen: Pen, top: float, height: float) -> None:
        y = top - height / 2
        air = 1 if density.tight else 2
        pen.fill(0, top - height + air, WIDTH, height - 2 * air)
        pen.fill(0, top - height + air, 3, height - 2 * air, INK)
        pen.text(10, middle(y, size), f"Measure {check.when}", size, BOLD)
        pen.text(136, middle(y, size), check.what, size)
        pen.text(296, middle(y, size), check.value, size, BOLD)
        pen.text(412, middle(y, 8), "measured", 8, tone=SOFT)
        line = y - min(5.0, height / 2 - 3.5)
        pen.rule(452, line, WIDTH - 8, line, 0.7, INK)

    return Block(density.box + (4.5 if density.tight else 8), draw)


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
    pad = density.pad + (0.6 if density.tight else 2)
    height = max(len(lines) * density.leading + pad, density.box + density.air)

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
        yield from strip_blocks(item, density)
    elif isinstance(item, Check):
        yield _check(item, density)
    elif isinstance(item, Mark):
        yield _mark(item, density)
    else:
        yield _todo(item, density, room)


def section_blocks(section: Section, density: Density, room: float = WIDTH) -> Iterator[Block]:
    """Yield a section: its heading, what is done first, its items."""
    table = None
    if density.short:
        section = shortened(section)
    if density.tabled:
        section, table = tabled(section)
    yield heading(section, density, room)
    if table:
        yield table_heading(table, density)
    again = running_heading(section, table, density)
    for rows, items in groupby(section.items, lambda item: isinstance(item, Step | Pair)):
        if rows and density.short:
            run = tuple(item for item in items if isinstance(item, Step | Pair))
            yield from (replace(block, again=again) for block in grid_blocks(run, density))
        else:
            for item in items:
                for block in item_blocks(item, density, room):
                    yield (
                        _going_on(block, again) if again and not isinstance(item, Todo) else block
                    )


def _going_on(block: Block, again: Block) -> Block:
    """Return a block that has its section's running heading above it on another page."""
    return replace(block, again=stacked(again, block.again) if block.again else again)
