"""The sheet of stock sizes on paper."""

from collections.abc import Iterator
from typing import Final

from documents.flow import Block, drawer, paginate, space
from documents.fonts import BOLD, REGULAR
from documents.page import HEIGHT, WIDTH, Label, Paper, make_pdf
from documents.pen import SOFT, Pen
from documents.setting import BODY, LEADING, head, heading, paragraph
from documents.size_view import Size, SizeRow, SizeView
from documents.text import fit

_COLUMNS: Final = (0.0, 84.0, 168.0, 290.0, 388.0, 452.0)
_FOOTER: Final = 10.0


def _line(texts: tuple[str, ...], *, soft: bool = False) -> Block:
    """Return a line of the table; the hood's own lengths are bold."""
    ends = (*_COLUMNS[1:], WIDTH)

    def draw(pen: Pen, top: float, _height: float) -> None:
        for place, (text, left, end) in enumerate(zip(texts, _COLUMNS, ends, strict=True)):
            font = BOLD if place in (4, 5) and not soft else REGULAR
            shown = fit(text, font, BODY, end - left - 4)
            pen.text(left, top - BODY, shown, BODY, font, SOFT if soft else 0.0)

    return Block(LEADING, draw, keep=True)


def _row(row: SizeRow) -> Block:
    return _line((*row.dog, *row.hood))


def _size(size: Size, columns: tuple[str, ...]) -> Iterator[Block]:
    yield heading(size.title, size=15)
    yield _line(columns, soft=True)
    for row in size.rows:
        yield _row(row)
    yield space(2)
    yield paragraph(size.yarn, after=0, keep=True)
    yield paragraph(size.stitches, after=0, keep=True)
    yield paragraph(size.fits)


def _blocks(view: SizeView) -> Iterator[Block]:
    yield head(view.heading, view.below)
    for line in view.intro:
        yield paragraph(line, after=0)
    yield space(4)
    for size in view.sizes:
        yield from _size(size, view.columns)
    yield space(8)
    if view.without:
        yield paragraph(view.without, font=BOLD)
    yield paragraph(view.caution, font=BOLD)


def render(view: SizeView, paper: Paper) -> bytes:
    """Return the sheet as a PDF on A4 or US Letter; equal views give equal bytes."""
    label = Label(title=view.title, author=view.maker, footer=view.footer, footer_size=_FOOTER)
    room = HEIGHT - label.footer_height
    pages = paginate(tuple(_blocks(view)), room)
    return make_pdf(paper, label, [drawer(page, room) for page in pages])
