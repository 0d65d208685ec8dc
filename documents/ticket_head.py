"""The head of the ticket and the dog: whose hood, by when, and the numbers it rests on."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from documents.dog_drawing import NUMBERS
from documents.dog_picture import draw_measured_dog
from documents.flow import Block, space
from documents.fonts import BOLD, REGULAR
from documents.page import WIDTH
from documents.pen import INK, SOFT, Pen, middle
from documents.qr import draw_qr
from documents.text import fit, wrap
from documents.ticket_cells import Density
from documents.ticket_texts import Head, MeasureLine
from documents.ticket_view import TicketView

_QR: Final = 62.0
_FACTS_LEFT: Final = 244.0
_FACT_WIDTH: Final = (86.0, 118.0)
_TABLE_LEFT: Final = 142.0
_COLUMNS: Final = (24.0, 148.0, 236.0, 312.0)


def _fact(pen: Pen, x: float, y: float, label: str, value: str, room: float) -> None:
    pen.text(x, y, label, 8, tone=SOFT)
    if fit(value, BOLD, 10.5, room) == value:
        pen.text(x, y - 13, value, 10.5, BOLD)
        return
    for place, line in enumerate(wrap(value, BOLD, 8.2, room, 2)):
        pen.text(x, y - 10.5 - place * 9.5, line, 8.2, BOLD)


def _name(pen: Pen, top: float, head: Head) -> None:
    """Write the dog's name as large as it fits, breed under it."""
    room = _FACTS_LEFT - 14
    size = next((s for s in (26.0, 21.0, 17.0) if fit(head.dog, BOLD, s, room) == head.dog), 0.0)
    if size:
        pen.text(0, top - 42, head.dog, size, BOLD)
    else:
        for place, line in enumerate(wrap(head.dog, BOLD, 13, room, 2)):
            pen.text(0, top - 29 - place * 15, line, 13, BOLD)
    pen.text(0, top - 59, fit(head.breed, REGULAR, 11, room), 11, tone=SOFT)


def head_block(view: TicketView) -> Block:
    """Return the head of the ticket."""
    head = view.head
    first, second = _FACT_WIDTH

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top, WIDTH, top, 1.6, INK)
        pen.text(0, top - 14, f"Work ticket · {view.terms}", 9, BOLD)
        _name(pen, top, head)
        left, right = _FACTS_LEFT, _FACTS_LEFT + first + 8
        _fact(pen, left, top - 14, "Hood", head.hood, first)
        _fact(pen, right, top - 14, "Due", head.due, second)
        _fact(pen, left, top - 46, "Order", head.order, first)
        _fact(pen, right, top - 46, "Buyer", head.buyer, second)
        if head.link:
            draw_qr(pen, WIDTH - _QR, top - 6, _QR, head.link)

    return Block(72, draw, keep=True)


@dataclass(frozen=True, slots=True)
class _Sizes:
    """How large the dog and its numbers are set, in points: picture, type, line of the table."""

    picture: float
    size: float
    line: float


_ROOMY: Final = _Sizes(124.0, 11.0, 22.0)
_TIGHT: Final = _Sizes(92.0, 9.0, 15.5)


def _measure(pen: Pen, y: float, line: MeasureLine, how: _Sizes) -> None:
    """Draw one line of the table, centred on y."""
    x = [_TABLE_LEFT + column for column in _COLUMNS]
    base = middle(y, how.size)
    pen.disc(_TABLE_LEFT + 8, y, NUMBERS[line.field][0], min(8, how.size - 1.5))
    pen.text(x[0], base, line.name, how.size)
    pen.text(x[1], base, fit(line.given, REGULAR, how.size, x[2] - x[1] - 8), how.size)
    pen.text(x[2], middle(y, how.size + 1), line.used, how.size + 1, BOLD)
    pen.text(x[3], base, line.made, how.size)
    pen.rule(_TABLE_LEFT, y - how.line / 2, WIDTH, y - how.line / 2)


def _table(pen: Pen, top: float, view: TicketView, how: _Sizes) -> None:
    titles = ("Measured on the dog", "as given", "as used", "hood, relaxed")
    for column, title in zip(_COLUMNS, titles, strict=True):
        shift = -column if column == _COLUMNS[0] else 0.0
        pen.text(_TABLE_LEFT + column + shift, top - 10, title, 8, tone=SOFT)
    pen.rule(_TABLE_LEFT, top - 15, WIDTH, top - 15)
    for place, line in enumerate(view.measures):
        _measure(pen, top - 15 - (place + 0.5) * how.line, line, how)


def dog_block(view: TicketView, density: Density) -> Block:
    """Return the dog's picture beside the table of its measurements."""
    how = _TIGHT if density.tight else _ROOMY
    size = how.size - 0.5

    def draw(pen: Pen, top: float, _height: float) -> None:
        draw_measured_dog(pen, 4, top - 2, how.picture)
        _table(pen, top, view, how)
        base = top - 15 - len(view.measures) * how.line - size - 4
        room = WIDTH - _TABLE_LEFT
        pen.text(_TABLE_LEFT, base, fit(view.minding, BOLD, size, room), size, BOLD)

    return Block(how.picture + 6, draw)


def _words(title: str, lines: tuple[str, ...], density: Density) -> Block:
    """Return a labelled paragraph: the label in the margin column, the lines beside it."""
    size = min(10.0, density.size) if density.tight else 10.0
    lines = (" / ".join(lines),) if density.tight else lines
    leading = size * 1.25
    set_lines = [part for line in lines for part in wrap(line, REGULAR, size, WIDTH - 62)]

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.text(0, top - size, title, size, BOLD)
        for place, line in enumerate(set_lines):
            pen.text(62, top - size - place * leading, line, size)

    return Block(len(set_lines) * leading + 5, draw)


def remark_blocks(view: TicketView, density: Density) -> Iterator[Block]:
    """Yield what was odd about the numbers, and the order's notes."""
    if view.remarks:
        yield _words("Findings", view.remarks, density)
    if view.notes:
        yield _words("Notes", view.notes, density)
    if view.remarks or view.notes:
        yield space(3)
