"""The slip of a parcel on paper: an address to stick on, and a list to lay in."""

from collections.abc import Iterator
from typing import Final

from documents.flow import Block, flowed, paginate, space
from documents.fonts import BOLD, REGULAR
from documents.label_sheet import cut
from documents.page import WIDTH, Label, Paper
from documents.parcel_view import ParcelView
from documents.pen import INK, SOFT, Pen
from documents.setting import BODY, LEADING, largest, paragraph
from documents.text import wrap

_FOOTER: Final = 10.0
_ADDRESS: Final = 300.0
"""Height of the part that is stuck on the parcel, with its cut line: less than half a page."""
_TO_LEFT: Final = 110.0
_SIZES: Final = (20.0, 18.0, 16.0, 14.0)
_TICK: Final = 11.0


def _address(view: ParcelView) -> Block:
    """Return the part for the outside: the sender small, the addressee large."""
    room = WIDTH - _TO_LEFT - 12
    sender = wrap(view.sender, REGULAR, 10, WIDTH - 70, 3)
    widest = max(view.addressee, key=len, default="")
    size = largest(widest, _SIZES, room)
    lines = [part for line in view.addressee for part in wrap(line, BOLD, size, room, 2)]
    while len(lines) * size * 1.35 > _ADDRESS - 120:
        size -= 1

    def draw(pen: Pen, top: float, height: float) -> None:
        pen.box(0.5, top - height + 26, WIDTH - 1, height - 27, 1.2)
        pen.text(12, top - 20, view.from_word, 10, tone=SOFT)
        for place, line in enumerate(sender):
            pen.text(58, top - 20 - place * 13, line, 10)
        pen.text(_TO_LEFT - 40, top - 96, view.to_word, BODY, tone=SOFT)
        for place, line in enumerate(lines):
            pen.text(_TO_LEFT, top - 96 - place * size * 1.35, line, size, BOLD)
        cut(pen, 0, top - height + 8, WIDTH, top - height + 8)

    return Block(_ADDRESS, draw)


def _item(line: str) -> Block:
    block = paragraph(line, left=20, after=4)

    def draw(pen: Pen, top: float, height: float) -> None:
        pen.box(0.5, top - BODY - 1, _TICK, _TICK)
        block.draw(pen, top, height)

    return Block(block.height, draw)


def _blocks(view: ParcelView) -> Iterator[Block]:
    yield _address(view)

    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top, WIDTH, top, 1.6, INK)
        pen.text(0, top - 26, view.contents_title, 20, BOLD)

    yield Block(32, draw, keep=True)
    yield paragraph(view.facts, keep=True)
    yield space(4)
    for line in view.contents:
        yield _item(line)
    yield space(6)
    yield paragraph(view.caution, font=BOLD, leading=LEADING)
    yield paragraph(view.missing)
    yield paragraph(view.sender)


def render(view: ParcelView, paper: Paper) -> bytes:
    """Return the slip as a PDF on A4 or US Letter; equal views give equal bytes."""
    label = Label(
        title=view.title,
        author=view.maker,
        footer=view.footer,
        footer_size=_FOOTER,
        language=view.language,
    )
    return flowed(paper, label, paginate(tuple(_blocks(view)), label.room))
