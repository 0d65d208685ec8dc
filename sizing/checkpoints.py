"""When the work is measured, what it shall measure, and how near is near enough."""

from dataclasses import dataclass

from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.rowplan import RowPlan
from sizing.rows import PartName
from sizing.variants.make import PLAIN, Make


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """A moment at which the work is measured: after which row, what, how long, how near."""

    part: PartName
    row: int
    name: str
    mm: float
    tolerance_mm: float


def checkpoints_of(
    plan: RowPlan, done: Dimensions, gauge: Gauge, make: Make = PLAIN
) -> tuple[Checkpoint, ...]:
    """Return where to measure; the tolerance is one row, or one stitch for the height."""
    strip = "collar strip before the overlap" if make.buttoned else "collar strip before joining"
    collar, hood, edge = PartName.COLLAR, PartName.HOOD, done.face_opening / 2
    height, row = gauge.rib_stitch_mm, gauge.row_mm
    nape = "nape along the centre back"
    return (
        Checkpoint(collar, 1, "collar height", done.collar_height, height),
        Checkpoint(collar, plan.collar_rows, strip, done.collar_girth, gauge.rib_row_mm),
        Checkpoint(hood, plan.crown_row - 1, nape, done.nape, row),
        Checkpoint(hood, plan.hood_rows, "each front edge", edge, row),
    )
