"""The work ticket: what the maker has beside the yarn, from the swatch to the hand-over."""

from collections.abc import Iterator, Sequence
from functools import cache
from typing import Final

from documents.flow import Block, Page, beside, bound, flowed, paginate
from documents.fonts import BOLD
from documents.page import WIDTH, Label, Paper
from documents.pen import INK, Pen
from documents.ticket_cells import DENSITIES, LAST_DENSITIES, SHORT_DENSITIES, Density
from documents.ticket_facts import facts_block, small_block
from documents.ticket_head import dog_block, head_block, remark_blocks
from documents.ticket_swatch import swatch_blocks
from documents.ticket_view import TicketView
from documents.ticket_work import section_blocks

FEWEST_PAGES: Final = 2
"""One sheet, front and back."""
MOST_PAGES: Final = 4
"""More sheets than this get mixed up on the table; the rows are then set tighter."""
_RULED: Final = 20.0
_COLUMN: Final = (WIDTH - 22) / 2


def _notes() -> Block:
    """Return ruled lines for the maker's own notes, on all the room that is left."""

    def draw(pen: Pen, top: float, height: float) -> None:
        pen.rule(0, top - 5, WIDTH, top - 5, 1.2, INK)
        pen.text(0, top - 20, "Notes", 13, BOLD)
        for line in range(int((height - 26) // _RULED)):
            y = top - 26 - (line + 1) * _RULED + 4
            pen.rule(0, y, WIDTH, y, 0.4)

    return Block(30, draw, grows=True)


def _blocks(view: TicketView, density: Density) -> Iterator[Block]:
    yield head_block(view)
    yield dog_block(view)
    yield from remark_blocks(view)
    yield facts_block(view)
    yield small_block(view, shortened=density.short)
    if view.swatch:
        yield from swatch_blocks(view.swatch, density)
    *work, finishing, handing_over = view.sections
    for section in work:
        yield from section_blocks(section, density)
    yield beside(
        tuple(section_blocks(finishing, density, _COLUMN)),
        tuple(section_blocks(handing_over, density, _COLUMN)),
        WIDTH - _COLUMN,
    )
    yield _notes()


def pages_of(view: TicketView, room: float) -> tuple[Page, ...]:
    """Return the pages, as roomy as few pages allow: two if possible, four at most.

    The tightest setting tells how few pages there can be; the roomiest that takes no more is it.
    """

    @cache
    def at(density: Density) -> tuple[Page, ...]:
        return paginate(tuple(_blocks(view, density)), room)

    roomy = DENSITIES[0]
    few = FEWEST_PAGES
    if len(at(roomy)) > few:
        few = max(few, len(at(SHORT_DENSITIES[-1])))
    ladder: tuple[Density, ...] = DENSITIES
    if few > MOST_PAGES:
        ladder, few = LAST_DENSITIES, MOST_PAGES
    elif len(at(roomy)) > few and len(at(DENSITIES[-1])) > few:
        ladder = SHORT_DENSITIES
    return next((at(one) for one in ladder if len(at(one)) <= few), at(ladder[-1]))


def _label(view: TicketView) -> Label:
    return Label(
        title=view.title,
        author=view.maker,
        footer=f"Work ticket · hood {view.head.hood} · {view.head.dog}",
        footer_size=9,
    )


def render(view: TicketView, paper: Paper) -> bytes:
    """Return the work ticket as a PDF on A4 or US Letter; equal views give equal bytes."""
    label = _label(view)
    return flowed(paper, label, pages_of(view, label.room))


def render_all(views: Sequence[TicketView], paper: Paper) -> bytes:
    """Return several work tickets, one after the other, as one PDF; there must be one.

    Each keeps its own footer and page numbers, and its bookmarks begin with its own name.
    """
    parts = [(label := _label(view), pages_of(view, label.room)) for view in views]
    title = f"Work tickets: {', '.join(view.head.hood for view in views)}"
    cover = Label(title=title, author=views[0].maker, footer=title, footer_size=9)
    return bound(paper, cover, parts)
