"""One row of the work on paper, or two side by side: box, number, sentence, count."""

import re
from dataclasses import dataclass
from typing import Final

from documents.flow import Block
from documents.fonts import BOLD, REGULAR, width
from documents.page import WIDTH
from documents.pen import SOFT, Pen, middle
from documents.text import Line, wrap_phrases
from documents.ticket_rows import Pair, Step


@dataclass(frozen=True, slots=True)
class Density:
    """How roomy the rows are set, in points.

    Attributes:
        air: least room above and below a box, together.
        plain: width of a plain row beside a decreasing one.
        plain_said: whether each plain row of a pair carries its own sentence.
        short: whether rows are told in short words, several on a line.
        tabled: whether what they say stands once, and they have its numbers.
        tight: whether all else is set small too: head, drawings, swatch, headings.
    """

    size: float
    leading: float
    pad: float
    box: float
    air: float
    plain: float
    plain_said: bool
    short: bool = False
    tabled: bool = False
    tight: bool = False

    @property
    def number(self) -> float:
        """Return the size of a row's number."""
        return self.size + (0.5 if self.tabled else 1.5)

    @property
    def gap(self) -> float:
        """Return the space between a row's number and its side."""
        return 2.5 if self.tabled else 4.0

    @property
    def apart(self) -> float:
        """Return the space between two rows side by side, and before a count."""
        return 6.0 if self.tabled else 9.0


DENSITIES: Final = (
    Density(10.0, 12.2, 5.5, 15.0, 6.0, 158.0, plain_said=True),
    Density(8.6, 10.4, 3.0, 14.0, 8.5, 91.0, plain_said=False),
    Density(8.6, 10.4, 2.0, 13.0, 5.5, 90.0, plain_said=False),
    Density(8.3, 10.0, 3.0, 11.5, 3.5, 90.0, plain_said=False),
    Density(8.6, 10.4, 2.0, 13.0, 4.0, 90.0, plain_said=False, tight=True),
    Density(8.3, 10.0, 2.0, 11.5, 2.5, 90.0, plain_said=False, tight=True),
)
"""From roomy to tight, every shaped row in a whole sentence."""
SHORT_DENSITIES: Final = (
    Density(9.0, 11.0, 3.0, 14.0, 6.5, 90.0, plain_said=False, short=True),
    Density(8.4, 10.2, 2.5, 12.0, 3.5, 90.0, plain_said=False, short=True),
    Density(8.4, 10.2, 2.0, 11.5, 2.5, 90.0, plain_said=False, short=True, tight=True),
)
"""With short words, where that saves a sheet."""
TABLE_DENSITIES: Final = (
    Density(
        9.0, 11.0, 3.0, 14.0, 5.0, 90.0, plain_said=False, short=True, tabled=True, tight=True
    ),
    Density(
        8.4, 10.2, 2.5, 11.5, 3.0, 90.0, plain_said=False, short=True, tabled=True, tight=True
    ),
    Density(7.8, 9.4, 2.0, 10.0, 2.0, 90.0, plain_said=False, short=True, tabled=True, tight=True),
    Density(7.0, 8.3, 0.9, 8.0, 1.2, 90.0, plain_said=False, short=True, tabled=True, tight=True),
    Density(7.0, 8.1, 0.7, 7.8, 1.0, 90.0, plain_said=False, short=True, tabled=True, tight=True),
)
"""For hoods of many hundreds of rows, which would be more than four pages otherwise."""

_DECREASE: Final = re.compile(r"\b\d+ (dec|[sd]c2tog)\b")
_NUMBER: Final = 24.0
"""Room for the row's number: three digits."""
DIGIT: Final = 0.58
"""The width of a bold digit as a share of its size."""
_SIDE: Final = 15.0
_WEDGE: Final = 9.0
COUNT: Final = 40.0
_GAP: Final = 8.0


def _emphasised(text: str) -> Line:
    """Return a sentence with its decreases in bold."""
    parts = text.split(", ")
    last = len(parts) - 1
    return tuple(
        (part if place == last else f"{part},", BOLD if _DECREASE.search(part) else REGULAR)
        for place, part in enumerate(parts)
    )


def _runs(step: Step) -> Line:
    if step.shaped and not step.coded:
        return _emphasised(step.text)
    return ((step.text, BOLD if step.shaped else REGULAR),)


@dataclass(frozen=True, slots=True)
class Cell:
    """One row set in a column: from x, `room` wide, its sentence broken into lines."""

    step: Step
    x: float
    room: float
    lines: tuple[Line, ...]
    density: Density

    @property
    def height(self) -> float:
        """Return the height in points that the cell needs."""
        words = len(self.lines) * self.density.leading
        return max(words + self.density.pad, self.density.box + self.density.air)

    def draw(self, pen: Pen, y: float) -> None:
        """Draw the cell centred on the height y."""
        how, step, bold = self.density, self.step, BOLD
        pen.box(self.x, y - how.box / 2, how.box, how.box)
        side = self.x + _side_left(how)
        pen.right(side - how.gap, middle(y, how.number), str(step.row), how.number, bold)
        small = min(8.0, how.size)
        pen.text(side, middle(y, small), step.side, small, tone=SOFT)
        if step.shaped:
            pen.wedge(self.x + words_left(step, how) - _WEDGE, y, min(6.0, how.size * 0.7))
        first = middle(y, how.size, len(self.lines), how.leading)
        pen.lines(self.x + words_left(step, how), first, self.lines, how.size, how.leading)
        count = how.size + 1
        pen.right(self.x + self.room, middle(y, count), step.count, count, bold)


def _side_left(density: Density) -> float:
    """Return where the side stands: after the box and a number of up to three digits."""
    if not density.short:
        return density.box + _NUMBER
    return density.box + 3 * DIGIT * density.number + density.gap + 2


def words_left(step: Step, density: Density) -> float:
    """Return where a row's sentence begins, from the left of its cell."""
    wedge = step.shaped if density.short else step.row % 2
    side = min(8.0, density.size) * 1.75 if density.short else _SIDE
    if density.short and not step.side:
        side = 0.0
    return _side_left(density) + side + (_WEDGE if wedge else 0)


def cell_of(step: Step, x: float, room: float, density: Density, *, said: bool = True) -> Cell:
    """Return a row set in a column from x, `room` points wide; unsaid, it has no sentence."""
    least = 0.0 if density.short else COUNT
    count = max(least, width(step.count, BOLD, density.size + 1) + 5)
    words = room - words_left(step, density) - count
    lines = wrap_phrases(((run,) for run in _runs(step)), density.size, words) if said else ()
    return Cell(step, x, room, lines, density)


def row_block(cells: tuple[Cell, ...]) -> Block:
    """Return cells side by side, with a hairline under them."""
    height = max(cell.height for cell in cells)

    def draw(pen: Pen, top: float, full: float) -> None:
        for cell in cells:
            cell.draw(pen, top - full / 2)
        pen.rule(0, top - full, WIDTH, top - full, 0.4)

    return Block(height, draw)


def pair_block(pair: Pair, density: Density) -> Block:
    """Return a right side row and the wrong side row after it as one line."""
    plain = density.plain
    first = cell_of(pair.first, 0, WIDTH - plain - _GAP, density)
    second = cell_of(pair.second, WIDTH - plain, plain, density, said=density.plain_said)
    return row_block((first, second))
