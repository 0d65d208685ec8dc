"""When the work is measured, what it shall measure, and how near is near enough."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from sizing.addons import sized
from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.rowplan import RowPlan
from sizing.rows import ADD_ONS, Part, PartName
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


_ACROSS: Final = {
    PartName.DISC: "across",
    PartName.CONE: "across the base",
    PartName.TUBE: "across",
    PartName.LEAF: "at its widest",
}
_LONG: Final = {
    PartName.CONE: "from base to tip",
    PartName.TUBE: "along its sides",
    PartName.LEAF: "from base to tip",
}


def shape_checkpoints(part: Part, gauge: Gauge) -> tuple[Checkpoint, ...]:
    """Return what a shape measures once it is worked; the tolerance is a stitch or a row.

    A disc has a row more on either side.
    """
    name, row, size = part.part, part.rows[-1].row, sized(part, gauge)
    near = 2 * gauge.row_mm if name is PartName.DISC else gauge.stitch_mm
    points = [Checkpoint(name, row, _ACROSS[name], size.across_mm, near)]
    if name in _LONG:
        points.append(Checkpoint(name, row, _LONG[name], size.long_mm, gauge.row_mm))
    return tuple(points)


def points_of(part: Part, planned: Iterable[Checkpoint], gauge: Gauge) -> tuple[Checkpoint, ...]:
    """Return where a part is measured: one of the hood as planned, a shape by its own size."""
    if part.part in ADD_ONS:
        return shape_checkpoints(part, gauge)
    return tuple(point for point in planned if point.part is part.part)
