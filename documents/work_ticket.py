"""The work ticket: what the maker has beside the yarn, from the swatch to the hand-over."""

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from typing import Final

from documents.flow import Block, Page, beside, bound, flowed, paginate
from documents.fonts import BOLD
from documents.page import WIDTH, Label, Paper
from documents.pen import INK, Pen
from documents.ticket_cells import DENSITIES, SHORT_DENSITIES, TABLE_DENSITIES, Density
from documents.ticket_facts import facts_block, small_block
from documents.ticket_head import dog_block, head_block, remark_blocks
from documents.ticket_rows import Section, Todo
from documents.ticket_swatch import swatch_blocks
from documents.ticket_view import TicketView
from documents.ticket_work import section_blocks

FEWEST_PAGES: Final = 2
"""One sheet, front and back."""
MOST_PAGES: Final = 4
"""More sheets than two get mixed up on the table; the rows are then set as one."""
_RULED: Final = 20.0
_LEAST_NOTES: Final = 30.0
_COLUMN: Final = (WIDTH - 22) / 2


def _notes(density: Density) -> Block:
    """Return ruled lines for the maker's own notes, on all the room that is left.

    Where a ticket is full, that may be none.
    """

    def draw(pen: Pen, top: float, height: float) -> None:
        if height < _LEAST_NOTES:
            return
        pen.rule(0, top - 5, WIDTH, top - 5, 1.2, INK)
        pen.text(0, top - 20, "Notes", 13, BOLD)
        for line in range(int((height - 26) // _RULED)):
            y = top - 26 - (line + 1) * _RULED + 4
            pen.rule(0, y, WIDTH, y, 0.4)

    return Block(0 if density.tabled else _LEAST_NOTES, draw, grows=True)


def _last(
    sections: tuple[Section, ...], density: Density
) -> tuple[tuple[Section, ...], tuple[Section, ...], tuple[Section, ...]]:
    """Return the work, and what stands in two columns after it: finishing and handing over.

    Where a ticket is full, the safety of what is sewn on stands left of both.
    """
    *work, before, finishing, handing_over = sections
    if density.tabled and all(isinstance(item, Todo) for item in before.items):
        return tuple(work), (before,), (finishing, handing_over)
    return (*work, before), (finishing,), (handing_over,)


def _column(sections: tuple[Section, ...], density: Density) -> tuple[Block, ...]:
    return tuple(block for one in sections for block in section_blocks(one, density, _COLUMN))


def _blocks(view: TicketView, density: Density) -> Iterator[Block]:
    yield head_block(view)
    yield dog_block(view, density)
    yield from remark_blocks(view, density)
    yield facts_block(view, density)
    yield small_block(view, density)
    if view.swatch:
        yield from swatch_blocks(view.swatch, density)
    work, left, right = _last(view.sections, density)
    for section in work:
        yield from section_blocks(section, density)
    yield beside(_column(left, density), _column(right, density), WIDTH - _COLUMN)
    yield _notes(density)


def pages_of(view: TicketView, room: float) -> tuple[Page, ...]:
    """Return the pages, as roomy as few pages allow: two if possible, four at most.

    The tightest settings tell how few pages there can be; the roomiest that takes no more is it.
    Rows become a table only where sentences would take more than four pages.
    """

    @cache
    def at(density: Density) -> tuple[Page, ...]:
        return paginate(tuple(_blocks(view, density)), room)

    def fits(density: Density) -> bool:
        return len(at(density)) <= few

    few = FEWEST_PAGES
    ladder: tuple[Density, ...] = DENSITIES
    if not fits(DENSITIES[0]) and not fits(DENSITIES[-1]):
        whole, short = len(at(DENSITIES[-1])), len(at(SHORT_DENSITIES[-1]))
        few = min(whole, short)
        ladder = DENSITIES if whole <= short else SHORT_DENSITIES
    if few > MOST_PAGES:
        few, ladder = MOST_PAGES, TABLE_DENSITIES
    return at(ladder[bisect_left(ladder[:-1], 1, key=fits)])


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


def render_all(
    views: Sequence[TicketView], paper: Paper, told: Callable[[int], None] | None = None
) -> bytes:
    """Return several work tickets, one after the other, as one PDF; there must be one.

    Each keeps its own footer and page numbers, and its bookmarks begin with its own name.
    `told` is called with the number of tickets that are drawn, after each.
    """
    parts = [(label := _label(view), pages_of(view, label.room)) for view in views]
    title = f"Work tickets: {', '.join(view.head.hood for view in views)}"
    cover = Label(title=title, author=views[0].maker, footer=title, footer_size=9)
    return bound(paper, cover, parts, told)
