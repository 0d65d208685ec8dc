"""The swatch on the ticket: what to make, and boxes to write the counts in."""

from collections.abc import Iterator
from typing import Final

from documents.flow import Block, space
from documents.fonts import BOLD
from documents.page import WIDTH
from documents.pen import INK, PAPER, SOFT, Pen, middle
from documents.ticket_cells import Density
from documents.ticket_rows import Todo
from documents.ticket_sections import SwatchView
from documents.ticket_work import item_blocks

_LINE: Final = 22.0
_BOX: Final = 52.0


def _banner(swatch: SwatchView) -> Block:
    def draw(pen: Pen, top: float, height: float) -> None:
        pen.fill(0, top - height + 4, WIDTH, height - 8, INK)
        y = middle(top - height / 2, 12)
        pen.text(8, y, swatch.banner, 12, BOLD, PAPER)

    return Block(30, draw, keep=True)


def _blank(pen: Pen, x: float, y: float, label: str) -> None:
    """Draw a box to write in with its label after it."""
    pen.box(x, y - 8, _BOX, 16)
    pen.text(x + _BOX + 4, middle(y, 8.5), label, 8.5)


def _fabric(pen: Pen, y: float, name: str, expected: str) -> None:
    pen.text(0, middle(y, 10), name, 10, BOLD)
    pen.text(36, middle(y, 8.5), f"expected {expected}", 8.5, tone=SOFT)
    _blank(pen, 182, y, "sts")
    _blank(pen, 262, y, "rows")


def _blanks(swatch: SwatchView) -> Block:
    def draw(pen: Pen, top: float, _height: float) -> None:
        for place, (name, expected) in enumerate(swatch.fabrics):
            _fabric(pen, top - (place + 0.5) * _LINE, name, expected)
        y = top - _LINE / 2
        pen.text(352, middle(y, 8.5), f"counted over {swatch.span}", 8.5, tone=SOFT)
        _blank(pen, 352, y - _LINE, "g")
        _blank(pen, 424, y - _LINE, "sts in all")

    return Block(2 * _LINE + 2, draw)


def swatch_blocks(swatch: SwatchView, density: Density) -> Iterator[Block]:
    """Yield the swatch step."""
    yield _banner(swatch)
    for step in swatch.steps:
        for block in item_blocks(Todo(step), density):
            yield Block(block.height, block.draw, keep=True)
    yield _blanks(swatch)
    yield space(3)
