"""Quote, invoice, receipt and credit note on paper."""

from collections.abc import Iterator
from typing import Final

from documents.bill_hoods import HoodLines
from documents.bill_view import BillView
from documents.flow import Block, flowed, paginate, space
from documents.fonts import BOLD, REGULAR, width
from documents.page import WIDTH, Label, Paper
from documents.pen import INK, Pen
from documents.setting import BODY, LEADING, columns, head, heading, paragraph
from documents.text import wrap

_THIRD: Final = WIDTH / 3
_GAP: Final = 14.0
_FOOTER: Final = 10.0
_TOTAL: Final = 16.0


def _sum_line(
    name: str, amount: str, *, bold: bool = False, size: float = BODY, keep: bool = True
) -> Block:
    """Return a line of the price: its name, and its amount at the right edge."""
    font = BOLD if bold else REGULAR
    leading = size + 5
    lines = wrap(name, font, size, WIDTH - width(amount, font, size) - _GAP)

    def draw(pen: Pen, top: float, _height: float) -> None:
        for place, line in enumerate(lines):
            pen.text(0, top - size - place * leading, line, size, font)
        pen.right(WIDTH, top - size - (len(lines) - 1) * leading, amount, size, font)

    return Block(len(lines) * leading + 1, draw, keep=keep)


def _rule(weight: float) -> Block:
    def draw(pen: Pen, top: float, _height: float) -> None:
        pen.rule(0, top - 4, WIDTH, top - 4, weight, INK)

    return Block(8, draw, keep=True)


def _hood(hood: HoodLines) -> Iterator[Block]:
    yield heading(hood.title)
    for line in hood.about:
        yield paragraph(line, after=0, keep=True)
    yield space(5)
    last = len(hood.lines) - 1
    for place, (name, amount) in enumerate(hood.lines):
        yield _sum_line(name, amount, keep=place < last)
    yield Block(4, lambda _pen, _top, _height: None)


def _totals(view: BillView) -> Iterator[Block]:
    before, (name, amount), after = view.totals
    yield _rule(1.0)
    for line in before:
        yield _sum_line(*line)
    yield _sum_line(name, amount, bold=True, size=_TOTAL, keep=bool(after))
    for place, line in enumerate(after, start=1):
        yield _sum_line(*line, bold=place == len(after), keep=place < len(after))


def _blocks(view: BillView) -> Iterator[Block]:
    yield head(view.heading, view.below)
    facts = tuple(f"{name}: {value}" for name, value in view.facts)
    room = _THIRD - _GAP
    yield columns(
        (view.maker, view.buyer, (view.facts_title, *facts)),
        (0.0, _THIRD, 2 * _THIRD),
        (room, room, _THIRD),
    )
    for hood in view.hoods:
        yield from _hood(hood)
    yield from _totals(view)
    for title, text in view.notes:
        yield heading(title)
        yield paragraph(text)
    yield _rule(0.5)
    yield paragraph(view.caution, font=BOLD, leading=LEADING, keep=True)
    yield paragraph(view.law)


def render(view: BillView, paper: Paper) -> bytes:
    """Return the document as a PDF on A4 or US Letter; equal views give equal bytes."""
    label = Label(
        title=view.title,
        author=view.maker_name,
        footer=view.footer,
        footer_size=_FOOTER,
        language=view.language,
    )
    return flowed(paper, label, paginate(tuple(_blocks(view)), label.room))
