"""The sheet of stock sizes on paper."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from documents.flow import Block, flowed, paginate, space
from documents.fonts import BOLD, REGULAR, width
from documents.page import WIDTH, Label, Paper
from documents.pen import INK, SOFT, Pen
from documents.setting import BODY, LEADING, head, heading, paragraph
from documents.size_view import Size, SizeView

_SIZES: Final = (BODY, 11.0, 10.0, 9.0, 8.0)
_GAP: Final = 9.0
_BOLD: Final = (4, 5)
"""The columns of the finished hood's lengths."""
_FOOTER: Final = 10.0


@dataclass(frozen=True, slots=True)
class Table:
    """How the table is set: the size of its type, and where its columns begin."""

    size: float
    lefts: tuple[float, ...]


def _widths(view: SizeView, size: float) -> tuple[float, ...]:
    """Return the widest entry of each column."""
    lines = [view.columns, *((*row.dog, *row.hood) for one in view.sizes for row in one.rows)]
    return tuple(
        max(width(line[place], BOLD if place in _BOLD else REGULAR, size) for line in lines)
        for place in range(len(view.columns))
    )


def _table(view: SizeView) -> Table:
    """Return the largest type at which no entry is cut, and the columns spread over the line."""
    least = _GAP * (len(view.columns) - 1)
    fitting = (size for size in _SIZES if sum(_widths(view, size)) + least <= WIDTH)
    size = next(fitting, _SIZES[-1])
    widths = _widths(view, size)
    gap = (WIDTH - sum(widths)) / (len(widths) - 1)
    return Table(size, tuple(sum(widths[:n]) + n * gap for n in range(len(widths))))


def _line(texts: tuple[str, ...], table: Table, *, soft: bool = False) -> Block:
    """Return a line of the table; the hood's own lengths are bold."""

    def draw(pen: Pen, top: float, _height: float) -> None:
        for place, (text, left) in enumerate(zip(texts, table.lefts, strict=True)):
            font = BOLD if place in _BOLD and not soft else REGULAR
            pen.text(left, top - BODY, text, table.size, font, SOFT if soft else INK)

    return Block(LEADING, draw, keep=True)


def _size(size: Size, columns: tuple[str, ...], table: Table) -> Iterator[Block]:
    yield heading(size.title, size=15)
    yield _line(columns, table, soft=True)
    for row in size.rows:
        yield _line((*row.dog, *row.hood), table)
    yield space(2)
    if size.head:
        yield paragraph(size.head, after=0, keep=True)
    yield paragraph(size.yarn, after=0, keep=True)
    yield paragraph(size.stitches, after=0, keep=True)
    yield paragraph(size.fits)


def _blocks(view: SizeView) -> Iterator[Block]:
    yield head(view.heading, view.below)
    for line in view.intro:
        yield paragraph(line, after=0)
    yield space(4)
    table = _table(view)
    for size in view.sizes:
        yield from _size(size, view.columns, table)
    yield space(8)
    if view.without:
        yield paragraph(view.without, font=BOLD)
    yield paragraph(view.caution, font=BOLD)


def render(view: SizeView, paper: Paper) -> bytes:
    """Return the sheet as a PDF on A4 or US Letter; equal views give equal bytes."""
    label = Label(
        title=view.title,
        author=view.maker,
        footer=view.footer,
        footer_size=_FOOTER,
        language=view.language,
    )
    return flowed(paper, label, paginate(tuple(_blocks(view)), label.room))
