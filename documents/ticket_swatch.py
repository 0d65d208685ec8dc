"""The swatch on the ticket: what to make, and boxes to write the counts in."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from documents.flow import Block, beside, space
from documents.fonts import BOLD
from documents.page import WIDTH
from documents.pen import INK, PAPER, SOFT, Pen, middle
from documents.ticket_cells import Density
from documents.ticket_rows import Todo
from documents.ticket_sections import SwatchView
from documents.ticket_work import item_blocks

_LINE: Final = 22.0
_NARROW: Final = 212.0
_NARROW_LINE: Final = 14.0


@dataclass(frozen=True, slots=True)
class _Blank:
    """The size of a box to write in, and of the label after it."""

    wide: float
    high: float
    size: float


_ROOMY: Final = _Blank(52.0, 16.0, 8.5)
_TIGHT: Final = _Blank(30.0, 12.0, 7.5)


def _banner(swatch: SwatchView, high: float) -> Block:
    size = high * 0.4

    def draw(pen: Pen, top: float, height: float) -> None:
        air = height * 0.13
        pen.fill(0, top - height + air, WIDTH, height - 2 * air, INK)
        pen.text(8, middle(top - height / 2, size), swatch.banner, size, BOLD, PAPER)

    return Block(high, draw, keep=True)


def _blank(pen: Pen, x: float, y: float, label: str, how: _Blank = _ROOMY) -> None:
    """Draw a box to write in with its label after it."""
    pen.box(x, y - how.high / 2, how.wide, how.high)
    pen.text(x + how.wide + 4, middle(y, how.size), label, how.size)


def _fabric(pen: Pen, y: float, name: str, expected: str) -> None:
    pen.text(0, middle(y, 10), name, 10, BOLD)
    pen.text(36, middle(y, _ROOMY.size), f"expected {expected}", _ROOMY.size, tone=SOFT)
    _blank(pen, 182, y, "sts")
    _blank(pen, 262, y, "rows")


def _blanks(swatch: SwatchView) -> Block:
    def draw(pen: Pen, top: float, _height: float) -> None:
        for place, (name, expected) in enumerate(swatch.fabrics):
            _fabric(pen, top - (place + 0.5) * _LINE, name, expected)
        y = top - _LINE / 2
        pen.text(
            352, middle(y, _ROOMY.size), f"counted over {swatch.span}", _ROOMY.size, tone=SOFT
        )
        _blank(pen, 352, y - _LINE, "g")
        _blank(pen, 424, y - _LINE, "sts in all")

    return Block(2 * _LINE + 2, draw)


def _narrow_blanks(swatch: SwatchView, size: float) -> Block:
    """Return the boxes in a narrow column, for a ticket that is full."""

    def draw(pen: Pen, top: float, _height: float) -> None:
        y = top - size
        pen.text(0, middle(y, size), f"Counted over {swatch.span}", size, tone=SOFT)
        for name, expected in swatch.fabrics:
            y -= _NARROW_LINE
            pen.text(0, middle(y, size), name, size, BOLD)
            pen.text(24, middle(y, size), expected, size, tone=SOFT)
            _blank(pen, _NARROW - 108, y, "sts", _TIGHT)
            _blank(pen, _NARROW - 54, y, "rows", _TIGHT)
        y -= _NARROW_LINE
        _blank(pen, _NARROW - 162, y, "g", _TIGHT)
        _blank(pen, _NARROW - 108, y, "sts in all", _TIGHT)

    return Block(size + 3.5 * _NARROW_LINE, draw)


def swatch_blocks(swatch: SwatchView, density: Density) -> Iterator[Block]:
    """Yield the swatch step."""
    yield _banner(swatch, 20 if density.tight else 30)
    if density.tight:
        room = WIDTH - _NARROW - 14
        steps = [
            block for step in swatch.steps for block in item_blocks(Todo(step), density, room)
        ]
        yield beside(steps, (_narrow_blanks(swatch, density.size),), WIDTH - _NARROW)
        return
    for step in swatch.steps:
        for block in item_blocks(Todo(step), density):
            yield Block(block.height, block.draw, keep=True)
    yield _blanks(swatch)
    yield space(3)
