"""One row of the work on paper, or two side by side: box, number, sentence, count."""

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
    """

    size: float
    leading: float
    pad: float
    box: float
    air: float
    plain: float
    plain_said: bool


DENSITIES: Final = (
    Density(10.0, 12.2, 5.5, 15.0, 6.0, 158.0, plain_said=True),
    Density(8.6, 10.4, 3.0, 14.0, 8.5, 91.0, plain_said=False),
    Density(8.6, 10.4, 2.0, 13.0, 5.5, 90.0, plain_said=False),
    Density(8.3, 10.0, 3.0, 11.5, 3.5, 90.0, plain_said=False),
)
"""From roomy to tight; the tight one is for hoods of far over a hundred rows."""

_NUMBER: Final = 24.0
"""Room for the row's number: three digits."""
_SIDE: Final = 15.0
_WEDGE: Final = 9.0
COUNT: Final = 40.0
_GAP: Final = 8.0


def _emphasised(text: str) -> Line:
    """Return a sentence with its decreases in bold."""
    parts = text.split(", ")
    last = len(parts) - 1
    return tuple(
        (part if place == last else f"{part},", BOLD if " over the next " in part else REGULAR)
        for place, part in enumerate(parts)
    )


def _runs(step: Step) -> Line:
    return _emphasised(step.text) if step.shaped else ((step.text, REGULAR),)


@dataclass(frozen=True, slots=True)
class Cell:
    """One row set in a column: from x, `room` wide, its sentence broken into lines."""

    step: Step
    x: float
    room: float
    lines: tuple[Line, ...]
    density: Density

    @property
    def words_left(self) -> float:
        """Return where the sentence begins, from the left of the cell."""
        return _words_left(self.step, self.density)

    @property
    def height(self) -> float:
        """Return the height in points that the cell needs."""
        words = len(self.lines) * self.density.leading
        return max(words + self.density.pad, self.density.box + self.density.air)

    def draw(self, pen: Pen, y: float) -> None:
        """Draw the cell centred on the height y."""
        how, step, bold = self.density, self.step, BOLD
        pen.box(self.x, y - how.box / 2, how.box, how.box)
        number = how.size + 1.5
        side = self.x + how.box + _NUMBER
        pen.right(side - 4, middle(y, number), str(step.row), number, bold)
        pen.text(side, middle(y, 8), step.side, 8, tone=SOFT)
        if step.shaped:
            pen.wedge(side + _SIDE, y, 6)
        first = middle(y, how.size, len(self.lines), how.leading)
        pen.lines(self.x + self.words_left, first, self.lines, how.size, how.leading)
        count = how.size + 1
        pen.right(self.x + self.room, middle(y, count), step.count, count, bold)


def _words_left(step: Step, density: Density) -> float:
    return density.box + _NUMBER + _SIDE + (_WEDGE if step.row % 2 else 0)


def cell_of(step: Step, x: float, room: float, density: Density, *, said: bool = True) -> Cell:
    """Return a row set in a column from x, `room` points wide; unsaid, it has no sentence."""
    count = max(COUNT, width(step.count, BOLD, density.size + 1) + 5)
    words = room - _words_left(step, density) - count
    lines = wrap_phrases(_runs(step), density.size, words) if said else ()
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
