"""Rows in short words, several on a line: read from left to right, then down."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from documents.flow import Block
from documents.fonts import BOLD, REGULAR, width
from documents.page import WIDTH
from documents.ticket_cells import Cell, Density, cell_of, row_block, words_left
from documents.ticket_rows import Pair, Step
from documents.ticket_short import short_text

_LEAST_LINES: Final = 3
"""Lines for which a change of the columns is worth the jump of the eye."""
_MOST: Final = 8
"""Cells on one line."""


@dataclass(frozen=True, slots=True)
class _Item:
    """A row, whether its sentence is said, and how much room it takes on one line."""

    step: Step
    said: bool
    wide: float


def _item(step: Step, density: Density, *, said: bool) -> _Item:
    short = replace(step, text=short_text(step.text))
    words = width(short.text, BOLD if step.shaped else REGULAR, density.size) if said else 0.0
    count = width(step.count, BOLD, density.size + 1)
    return _Item(short, said, words_left(step, density) + words + density.apart + count)


def _flat(items: Sequence[Step | Pair], density: Density) -> Iterator[_Item]:
    for item in items:
        if isinstance(item, Pair):
            yield _item(item.first, density, said=True)
            yield _item(item.second, density, said=False)
        else:
            yield _item(item, density, said=True)


def _widths(run: Sequence[_Item], many: int) -> tuple[float, ...]:
    """Return the widths that so many columns need."""
    return tuple(max(one.wide for one in run[place::many]) for place in range(many))


def _fitting(run: Sequence[_Item], many: int, gap: float) -> int:
    """Return how many of the first rows of a run fit in so many columns, in whole lines."""
    room = WIDTH - (many - 1) * gap
    fits = many
    while fits <= len(run) and sum(_widths(run[:fits], many)) <= room:
        fits += many
    return len(run) if sum(_widths(run, many)) <= room else fits - many


def _columns(run: Sequence[_Item], gap: float) -> tuple[int, tuple[float, ...]]:
    """Return how many of the first rows stand in columns, and how wide those are.

    Rows grow and shrink, as on a cone: so the columns are set anew where enough lines gain by it.
    """
    for many in range(min(_MOST, len(run)), 1, -1):
        fits = _fitting(run, many, gap)
        if fits and (fits == len(run) or fits >= _LEAST_LINES * many):
            wide = _widths(run[:fits], many)
            over = WIDTH - sum(wide) - (many - 1) * gap
            return fits, tuple(one + over / many for one in wide)
    return 1, (WIDTH,)


def _runs(items: Sequence[_Item], gap: float) -> Iterator[tuple[_Item, ...]]:
    """Yield rows that can stand side by side; one that needs most of a line stands alone.

    Rows of a table and those in their own words would stretch each other's columns.
    """
    run: list[_Item] = []
    for item in items:
        alone = item.wide > (WIDTH - gap) / 2
        if run and (alone or item.step.coded != run[-1].step.coded):
            yield tuple(run)
            run = []
        if alone:
            yield (item,)
        else:
            run.append(item)
    if run:
        yield tuple(run)


def _lines(run: Sequence[_Item], density: Density) -> Iterator[tuple[Cell, ...]]:
    while run:
        fits, columns = _columns(run, density.apart)
        for start in range(0, fits, len(columns)):
            x, cells = 0.0, []
            for item, wide in zip(run[start:fits], columns, strict=False):
                cells.append(cell_of(item.step, x, wide, density, said=item.said))
                x += wide + density.apart
            yield tuple(cells)
        run = run[fits:]


def grid_blocks(items: Sequence[Step | Pair], density: Density) -> Iterator[Block]:
    """Yield rows as lines of several cells, as many as fit."""
    for run in _runs(tuple(_flat(items, density)), density.apart):
        for cells in _lines(run, density):
            yield row_block(cells)
