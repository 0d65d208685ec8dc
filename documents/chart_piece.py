"""One piece of a chart on paper: its rows with numbers and counts, its folds, its cut edges."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from documents.chart_fold import Fold, Line
from documents.chart_rows import ChartRow, Sign, Stitch
from documents.chart_signs import TALL, Grid, draw_stitches, draw_tenths, tenths
from documents.fonts import BOLD, REGULAR, width
from documents.page import WIDTH
from documents.pen import INK, SOFT, Pen, middle

_LABEL: Final = 7.6
_FOLD: Final = 22.0
NUMBERS: Final = 11.0
"""Room for the numbers of each 10th stitch, above and below."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A band of lines from the lowest up, and the places from `low` to `high` of them."""

    lines: tuple[Line, ...]
    low: float
    high: float
    cell: float
    part: int
    parts: int

    @property
    def height(self) -> float:
        """Return the height of the drawing in points."""
        return tall(self.lines, self.cell) + 2 * NUMBERS

    def draw(self, pen: Pen, floor: float) -> None:
        """Draw the piece upwards from its lower edge."""
        y = floor + NUMBERS
        centre = WIDTH / 2 - (self.low + self.high) / 2 * self.cell
        for line in self.lines:
            if isinstance(line, Fold):
                _draw_fold(pen, line, y)
            else:
                self._row(Grid(pen, centre, y, self.cell), line)
            y += _height(line, self.cell)
        self._cuts(pen, centre, floor)
        self._numbers(pen, centre, self.lines, floor + 2)
        self._numbers(pen, centre, self.lines[::-1], y + 3)

    def _numbers(self, pen: Pen, centre: float, lines: Sequence[Line], y: float) -> None:
        rows = (line for line in lines if isinstance(line, ChartRow) and line.number)
        nearest = next(rows, None)
        for number, x in tenths(nearest) if nearest else ():
            if self.low <= x < self.high:
                pen.centre(centre + x * self.cell, y, str(number), 7, tone=SOFT)

    def _row(self, grid: Grid, row: ChartRow) -> None:
        shown = [one for one in row.stitches if self.low <= one.x < self.high]
        if not shown:
            return
        if row.number:
            draw_tenths(grid, row, self.low, self.high)
        draw_stitches(grid, shown, leaders=row.leaders)
        left, right = (spot * self.cell + grid.middle for spot in self._ends(row, shown))
        turned = _turn(grid, row, self.low, self.high)
        left, right = (left, right + turned) if row.from_right else (left - turned, right)
        base = middle(grid.y + grid.tall / 2, _LABEL)
        at_left, at_right = (
            ((row.count, REGULAR), (row.label, BOLD))
            if row.from_right
            else ((row.label, BOLD), (row.count, REGULAR))
        )
        pen = grid.pen
        pen.right(left - 3, base, *_sized(at_left))
        pen.text(right + 3, base, *_sized(at_right))

    def _ends(self, row: ChartRow, shown: Sequence[Stitch]) -> tuple[float, float]:
        """Return where a row ends on this piece: at its edge, or where the piece is cut."""
        left = shown[0].x - 0.5 if shown[0] is row.stitches[0] else self.low - 0.5
        right = shown[-1].x + 0.5 if shown[-1] is row.stitches[-1] else self.high
        return left, right

    def _cuts(self, pen: Pen, centre: float, floor: float) -> None:
        """Draw a dashed line where the chart goes on beside this piece."""
        pen.canvas.setDash([3, 2])
        for cut, there in ((self.low, self.part > 1), (self.high, self.part < self.parts)):
            if there:
                x = centre + (cut - (0.5 if cut == self.low else 0)) * self.cell
                pen.rule(x, floor, x, floor + self.height)
        pen.canvas.setDash([])


def _sized(said: tuple[str, str]) -> tuple[str, float, str]:
    return said[0], _LABEL, said[1]


def _turn(grid: Grid, row: ChartRow, low: float, high: float) -> float:
    """Draw the chains of the turn where the row begins; return the room that they take."""
    if not row.turn:
        return 0.0
    edge = row.stitches[-1].x if row.from_right else row.stitches[0].x
    if not low <= edge < high:
        return 0.0
    step = 1 if row.from_right else -1
    chains = [Stitch(Sign.CHAIN, edge + step * (place + 1)) for place in range(row.turn)]
    draw_stitches(grid, chains)
    return row.turn * grid.cell


def _draw_fold(pen: Pen, fold: Fold, y: float) -> None:
    """Draw a bracket in the place of rows that go on as those below."""
    wide = width(fold.text, BOLD, 9.0)
    left, right = WIDTH / 2 - wide / 2 - 12, WIDTH / 2 + wide / 2 + 12
    low, high = y + 4, y + _FOLD - 4
    for x, inwards in ((left, 5), (right, -5)):
        pen.rule(x, low, x, high, 1.1, INK)
        pen.rule(x, low, x + inwards, low, 1.1, INK)
        pen.rule(x, high, x + inwards, high, 1.1, INK)
    pen.centre(WIDTH / 2, middle(y + _FOLD / 2, 9.0), fold.text, 9.0, BOLD)


def _height(line: Line, cell: float) -> float:
    return _FOLD if isinstance(line, Fold) else cell * TALL


def tall(lines: Sequence[Line], cell: float) -> float:
    """Return the height of lines in points."""
    return sum(_height(line, cell) for line in lines)
