"""The signs of a stitch chart, drawn with lines: they print alike on every printer.

Oval, dot and cross are the trade's international signs; a decrease is two legs joined on top.
The loop mark under a cross is an arc: open upwards for the back loop as the right side shows
it, open downwards for the front loop. The key on the chart says so.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from documents.chart_rows import ChartRow, Sign, Stitch
from documents.pen import HAIR, INK, Pen

if TYPE_CHECKING:
    from reportlab.pdfgen.pathobject import PDFPathObject

TENTH: Final = 0.84
"""Grey behind each 10th stitch."""
TALL: Final = 1.2
"""The height of a row, in cells."""
_ARM: Final = 0.3
_KAPPA: Final = 0.5523
"""Control points of a quarter circle as a share of its radius: 4 / 3 x (sqrt 2 - 1)."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Where a row lies: the place of x = 0, its lower edge, and the side of a cell."""

    pen: Pen
    middle: float
    y: float
    cell: float

    @property
    def tall(self) -> float:
        """Return the height of the row in points."""
        return self.cell * TALL

    def at(self, x: float) -> float:
        """Return the place on the page of a place in the row."""
        return self.middle + x * self.cell


def _ellipse(path: "PDFPathObject", x: float, y: float, a: float, b: float) -> None:
    path.ellipse(x - a, y - b, 2 * a, 2 * b)


def _cross(path: "PDFPathObject", x: float, y: float, arm: float) -> None:
    path.moveTo(x - arm, y)
    path.lineTo(x + arm, y)
    path.moveTo(x, y - arm)
    path.lineTo(x, y + arm)


def _arc(path: "PDFPathObject", x: float, y: float, wide: float, high: float) -> None:
    """Draw half an ellipse; open upwards where `high` is below 0."""
    path.moveTo(x - wide, y)
    path.curveTo(x - wide, y + high * _KAPPA, x - wide * _KAPPA, y + high, x, y + high)
    path.curveTo(x + wide * _KAPPA, y + high, x + wide, y + high * _KAPPA, x + wide, y)


def _legs(path: "PDFPathObject", grid: Grid, stitch: Stitch, *, bars: int) -> None:
    """Draw two legs joined on top, each with a bar, or one bar over both."""
    x, top, foot = grid.at(stitch.x), grid.y + grid.tall * 0.88, grid.y + grid.tall * 0.1
    half = grid.cell * 0.2
    for place in stitch.feet:
        path.moveTo(x, top)
        path.lineTo(grid.at(place), foot)
    if bars == 1:
        path.moveTo(x - half * 1.4, top)
        path.lineTo(x + half * 1.4, top)
        return
    for place in stitch.feet:
        across, level = (x + grid.at(place)) / 2, (top + foot) / 2
        path.moveTo(across - half, level - half / 2)
        path.lineTo(across + half, level + half / 2)


def _marked(path: "PDFPathObject", grid: Grid, x: float, *, back: bool) -> None:
    """Draw a cross with its loop mark below."""
    centre = grid.y + grid.tall * 0.6
    _cross(path, x, centre, grid.cell * _ARM)
    low = grid.y + grid.tall * (0.24 if back else 0.1)
    rise = grid.cell * (-0.17 if back else 0.17)
    _arc(path, x, low, grid.cell * 0.3, rise)


def _lined(path: "PDFPathObject", grid: Grid, stitch: Stitch) -> None:
    """Draw one sign that is made of lines."""
    x, centre, cell = grid.at(stitch.x), grid.y + grid.tall / 2, grid.cell
    if stitch.sign is Sign.CHAIN:
        _ellipse(path, x, centre, cell * 0.4, cell * 0.22)
    elif stitch.sign in (Sign.BACK, Sign.FRONT):
        _marked(path, grid, x, back=stitch.sign is Sign.BACK)
    elif stitch.sign is Sign.DEC:
        _legs(path, grid, stitch, bars=1)
    elif stitch.sign is Sign.TOGETHER:
        _legs(path, grid, stitch, bars=2)
    elif stitch.sign is Sign.END:
        path.moveTo(x - cell * 0.3, centre)
        path.lineTo(x + cell * 0.3, centre)
    else:
        _cross(path, x, centre, cell * _ARM)


def _leaders(grid: Grid, stitches: Sequence[Stitch]) -> None:
    """Tie each stitch to its place in the row below."""
    path = grid.pen.canvas.beginPath()
    for stitch in stitches:
        for foot in stitch.feet:
            path.moveTo(grid.at(stitch.x), grid.y + grid.tall * 0.16)
            path.lineTo(grid.at(foot), grid.y - grid.tall * 0.36)
    grid.pen.canvas.setStrokeGray(HAIR)
    grid.pen.canvas.setLineWidth(0.4)
    grid.pen.canvas.drawPath(path, stroke=1, fill=0)


def draw_stitches(grid: Grid, stitches: Sequence[Stitch], *, leaders: bool = False) -> None:
    """Draw the signs of a row, or some of them."""
    if leaders:
        _leaders(grid, stitches)
    lined, dots = grid.pen.canvas.beginPath(), grid.pen.canvas.beginPath()
    for stitch in stitches:
        if stitch.sign is Sign.SLIP:
            across = grid.cell * 0.17
            _ellipse(dots, grid.at(stitch.x), grid.y + grid.tall / 2, across, across)
        else:
            _lined(lined, grid, stitch)
    canvas = grid.pen.canvas
    canvas.setStrokeGray(INK)
    canvas.setFillGray(INK)
    canvas.setLineWidth(max(0.55, grid.cell * 0.075))
    canvas.setLineCap(1)
    canvas.drawPath(lined, stroke=1, fill=0)
    canvas.setLineCap(0)
    canvas.drawPath(dots, stroke=0, fill=1)


def tenths(row: ChartRow) -> tuple[tuple[int, float], ...]:
    """Return each 10th stitch, counted from where the row begins: its number and place."""
    work = row.stitches[::-1] if row.from_right else row.stitches
    return tuple((place + 1, work[place].x) for place in range(9, len(work), 10))


def draw_tenths(grid: Grid, row: ChartRow, low: float, high: float) -> None:
    """Put each 10th stitch between two places on grey."""
    for _, x in tenths(row):
        if low <= x < high:
            left = grid.at(x) - grid.cell / 2
            grid.pen.fill(left, grid.y, grid.cell, grid.tall, TENTH)
