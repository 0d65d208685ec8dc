"""A plain edging round the face, picked up along both front edges."""

from enum import StrEnum

from sizing.gauge import Gauge
from sizing.rowplan import RowPlan
from sizing.rows import Op, Operation
from sizing.variants.pickup import least_picked_up, most_picked_up, pick_up


class EdgingStitch(StrEnum):
    """The stitch of the edging."""

    SC = "sc"
    SL_ST = "sl_st"


def edging_along(hood_rows: int, gauge: Gauge, stitch: EdgingStitch) -> tuple[Operation, ...]:
    """Return the edging: as many stitches as lie flat along the two edges.

    Rows are lower than stitches are wide, so some row ends are left out; slip stitches never
    stand two in one row end. Where the gauge is very odd, the nearest that leaves no hole.
    """
    ends = 2 * hood_rows
    flat = 2 * round(hood_rows * gauge.row_mm / gauge.stitch_mm)
    most = ends if stitch is EdgingStitch.SL_ST else most_picked_up(ends)
    return pick_up(ends, min(most, max(least_picked_up(ends), flat)), Op(stitch.value))


def edging_of(plan: RowPlan, gauge: Gauge, stitch: EdgingStitch) -> tuple[Operation, ...]:
    """Return the edging of a row plan's hood."""
    return edging_along(plan.hood_rows, gauge, stitch)
