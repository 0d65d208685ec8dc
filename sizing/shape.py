"""The shape that a row plan gives: finished dimensions and the folded half-panel.

The hood is folded at the centre back. Its half-panel is a polygon: the front edge stands
upright, the rows lie across, the fold leans in where the decreases are. Nape and crown are
measured along that fold.
"""

from dataclasses import dataclass
from math import dist, hypot

from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.rowplan import RowPlan, fold_length, nape_length

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class HalfPanel:
    """The hood's half-panel, in mm; x from the front edge to the back, y upwards.

    Attributes:
        front: the front edge, from the collar to the brow.
        fold: the centre back, from the collar to the top, a point for every two rows.
        crown_at: the point of the fold where the crown begins.
    """

    front: tuple[Point, Point]
    fold: tuple[Point, ...]
    crown_at: Point

    @property
    def outline(self) -> tuple[Point, ...]:
        """Return the corners of the polygon, anticlockwise from the throat."""
        return (self.front[0], *self.fold, self.front[1])

    @property
    def area(self) -> float:
        """Return the area of the polygon in mm2: half of the hood's fabric."""
        corners = self.outline
        following = (*corners[1:], corners[0])
        turns = (a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, following, strict=True))
        return sum(turns) / 2

    @property
    def perimeter(self) -> float:
        """Return the way round the polygon in mm."""
        corners = self.outline
        following = (*corners[1:], corners[0])
        return sum(dist(a, b) for a, b in zip(corners, following, strict=True))


def half_panel(plan: RowPlan, gauge: Gauge) -> HalfPanel:
    """Return the half-panel of a row plan."""
    top, counts = plan.hood_rows * gauge.row_mm, plan.counts()

    def fold_at(row: int) -> Point:
        return (counts[row] / 2 * gauge.stitch_mm, row * gauge.row_mm)

    marks = [*range(0, plan.hood_rows, 2), plan.hood_rows]
    return HalfPanel(
        front=((0.0, 0.0), (0.0, top)),
        fold=tuple(fold_at(row) for row in marks),
        crown_at=fold_at(plan.crown_row - 1),
    )


def finished(plan: RowPlan, gauge: Gauge) -> Dimensions:
    """Return the dimensions that the row plan gives."""
    crown = plan.counts()[plan.crown_row - 1 :]
    seam = plan.last_stitches / 2 * gauge.stitch_mm
    return Dimensions(
        collar_girth=plan.collar_rows * gauge.rib_row_mm,
        collar_height=plan.collar_stitches * gauge.rib_stitch_mm,
        nape=nape_length(plan, gauge),
        face_opening=2 * plan.hood_rows * gauge.row_mm,
        crown=fold_length(crown, gauge.stitch_mm, gauge.row_mm) + seam,
    )


def nape_by_rows(plan: RowPlan, gauge: Gauge) -> float:
    """Return by how much the nape follows the row gauge, to first order: 1 for an upright fold."""
    total = upright = 0.0
    for first in range(1, plan.crown_row, 2):
        rows = min(2, plan.crown_row - first) * gauge.row_mm
        step = hypot(rows, plan.pairs_in(first) * gauge.stitch_mm)
        total += step
        upright += rows * rows / step
    return upright / total
