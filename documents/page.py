"""Paper, type area, footer and metadata: the frame of every paper.

All papers are designed for the area that A4 and US Letter share, so a paper made for
one prints on the other without being scaled, and both break into pages alike.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from io import BytesIO
from typing import TYPE_CHECKING, Final

from documents.fonts import REGULAR, fonts, width
from documents.language import ENGLISH, language
from documents.metadata import describe
from documents.pen import SOFT, Pen
from documents.structure import Structure
from documents.text import fit

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

MM: Final = 72 / 25.4
"""A millimetre in points."""
SHARED_WIDTH: Final = 210 * MM
"""The width of A4 (ISO 216); US Letter is wider."""
SHARED_HEIGHT: Final = 279.4 * MM
"""The height of US Letter (11 in); A4 is taller."""
MARGIN: Final = 12 * MM
"""Nearest to the edge of the shared area that anything is printed."""
WIDTH: Final = SHARED_WIDTH - 2 * MARGIN
HEIGHT: Final = SHARED_HEIGHT - 2 * MARGIN


class Paper(StrEnum):
    """The paper sizes that the maker and the buyer have."""

    A4 = "A4"
    LETTER = "Letter"

    @property
    def size(self) -> tuple[float, float]:
        """Return width and height in points."""
        if self is Paper.A4:
            return 210 * MM, 297 * MM
        return 215.9 * MM, 279.4 * MM


@dataclass(frozen=True, slots=True)
class Label:
    """What stands in the metadata and the footer of a paper.

    Attributes:
        title: the paper's title for the reader's window and for screen readers.
        author: the maker's name.
        footer: what is repeated at the foot of each page.
        footer_size: the footer's type size in points.
        language: the code of the language that the paper is in.
    """

    title: str
    author: str
    footer: str
    footer_size: float
    language: str = ENGLISH

    @property
    def room(self) -> float:
        """Return the height in points that is left for the page above the footer."""
        return HEIGHT - self.footer_height

    @property
    def footer_height(self) -> float:
        """Return the height in points that the footer takes, with the air above it."""
        return self.footer_size * 1.9


def origin(paper: Paper) -> tuple[float, float]:
    """Return the lower left corner of the type area in points from the paper's corner."""
    wide, high = paper.size
    return (wide - WIDTH) / 2, (high - HEIGHT) / 2


def _footer(pen: Pen, label: Label, page: int, pages: int) -> None:
    size = label.footer_size
    base = size * 0.3  # room for the descenders above the margin
    edge = label.footer_height - size * 0.45
    pen.rule(0, edge, WIDTH, edge)
    say = language(label.language).say
    count = say("page {page} of {pages}", page=page, pages=pages)
    room = WIDTH - width(count, REGULAR, size) - size
    with pen.structure.decoration():  # a screen reader says page numbers itself
        pen.text(0, base, fit(label.footer, REGULAR, size, room), size, tone=SOFT)
        pen.right(WIDTH, base, count, size, tone=SOFT)


def _canvas(buffer: BytesIO, paper: Paper, label: Label) -> "Canvas":
    from reportlab import rl_config  # noqa: PLC0415 - drawing alone needs it, and takes long to load
    from reportlab.pdfgen.canvas import Canvas  # noqa: PLC0415 - as above

    rl_config.useA85 = 0  # streams as bytes: a fifth smaller than as text, and quicker to write
    # The initial font keeps an unembedded Helvetica from being listed; `invariant` leaves
    # clock and chance out, so that equal input gives equal bytes.
    fonts()  # registered, before the canvas is told of one
    canvas = Canvas(
        buffer,
        pagesize=paper.size,
        pdfVersion=(1, 7),
        invariant=1,
        lang=label.language,
        initialFontName=REGULAR,  # type: ignore[arg-type]  # the stubs take it for a number
    )
    describe(canvas, label.title, label.author, label.footer, label.language)
    return canvas


Pages = Sequence[Callable[[Pen], None]]
"""Functions of which each draws one page into the type area."""


def make_pdf(paper: Paper, label: Label, pages: Pages) -> bytes:
    """Return a PDF; each of `pages` draws one page into the type area."""
    return bind_pdf(paper, label, [(label, pages)])


def bind_pdf(
    paper: Paper,
    cover: Label,
    parts: Sequence[tuple[Label, Pages]],
    told: Callable[[int], None] | None = None,
) -> bytes:
    """Return several papers in one PDF, each with its own footer and page numbers.

    Where there are several, the title of each is a bookmark above its own.

    Args:
        paper: the size of all.
        cover: its title and author stand in the metadata.
        parts: each paper's label and pages.
        told: called with the number of papers that are drawn, after each.
    """
    buffer = BytesIO()
    canvas = _canvas(buffer, paper, cover)
    pen = Pen(canvas, Structure(canvas))
    for place, (label, pages) in enumerate(parts, start=1):
        for number, draw in enumerate(pages, start=1):
            pen.structure.begin_page()
            canvas.translate(*origin(paper))
            if number == 1 and len(parts) > 1:
                pen.structure.bookmark(label.title, 1, HEIGHT)
            draw(pen)
            _footer(pen, label, number, len(pages))
            pen.structure.end_page()
        if told:
            told(place)
    pen.structure.finish()
    canvas.save()
    return buffer.getvalue()
