"""The head of the ticket and the dog: whose hood, by when, and the numbers it rests on."""

from collections.abc import Iterator
from typing import Final

from documents.dog_drawing import NUMBERS
from documents.dog_picture import draw_measured_dog
from documents.flow import Block, space
from documents.fonts import BOLD, REGULAR
from documents.page import WIDTH
from documents.pen import INK, SOFT, Pen, middle
from documents.qr import draw_qr
from documents.text import fit, wrap
from documents.ticket_texts import Head, MeasureLine
from documents.ticket_view import TicketView

_QR: Final = 62.0
_FACTS_LEFT: Final = 244.0
_FACT_WIDTH: Final = (86.0, 118.0)
_PICTURE: Final = 124.0
_TABLE_LEFT: Final = 142.0
_LINE: Final = 22.0
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


def _measure(pen: Pen, y: float, line: MeasureLine) -> None:
    """Draw one line of the table, centred on y."""
    x = [_TABLE_LEFT + column for column in _COLUMNS]
    pen.disc(_TABLE_LEFT + 8, y, NUMBERS[line.field][0], 8)
    pen.text(x[0], middle(y, 11), line.name, 11)
    pen.text(x[1], middle(y, 11), fit(line.given, REGULAR, 11, x[2] - x[1] - 8), 11)
    pen.text(x[2], middle(y, 12), line.used, 12, BOLD)
    pen.text(x[3], middle(y, 11), line.made, 11)
    pen.rule(_TABLE_LEFT, y - _LINE / 2, WIDTH, y - _LINE / 2)


def _table(pen: Pen, top: float, view: TicketView) -> None:
    titles = ("Measured on the dog", "as given", "as used", "hood, relaxed")
    for column, title in zip(_COLUMNS, titles, strict=True):
        shift = -column if column == _COLUMNS[0] else 0.0
        pen.text(_TABLE_LEFT + column + shift, top - 10, title, 8, tone=SOFT)
    pen.rule(_TABLE_LEFT, top - 15, WIDTH, top - 15)
    for place, line in enumerate(view.measures):
        _measure(pen, top - 15 - (place + 0.5) * _LINE, line)


def dog_block(view: TicketView) -> Block:
    """Return the dog's picture beside the table of its measurements."""
    height = _PICTURE + 6

    def draw(pen: Pen, top: float, _height: float) -> None:
        draw_measured_dog(pen, 4, top - 2, _PICTURE)
        _table(pen, top, view)
        base = top - 15 - len(view.measures) * _LINE - 16
        room = WIDTH - _TABLE_LEFT
        pen.text(_TABLE_LEFT, base, fit(view.minding, BOLD, 10.5, room), 10.5, BOLD)

    return Block(height, draw)


def _words(title: str, lines: tuple[str, ...]) -> Block:
    """Return a labelled paragraph: the label in the margin column, the lines beside it."""
    set_lines = [part for line in lines for part in wrap(line, REGULAR, 10, WIDTH - 62)]

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.text(0, top - 10, title, 10, BOLD)
        for place, line in enumerate(set_lines):
            pen.text(62, top - 10 - place * 12.5, line, 10)

    return Block(len(set_lines) * 12.5 + 5, draw)


def remark_blocks(view: TicketView) -> Iterator[Block]:
    """Yield what was odd about the numbers, and the order's notes."""
    if view.remarks:
        yield _words("Findings", view.remarks)
    if view.notes:
        yield _words("Notes", view.notes)
    if view.remarks or view.notes:
        yield space(3)
