"""Openings for the ears: chains over skipped stitches in one row, worked into in the next.

They lie in a wrong side row, which is plain, and are closed by the right side row after it,
whose decreases stand between them at the centre back.
"""

from dataclasses import dataclass
from math import isfinite
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived
from sizing.gauge import Gauge
from sizing.rowplan import RowPlan

LEAST_BESIDE: Final = Fact(
    2, "stitches or rows", derived("judgement: one stitch or row beside an opening tears out")
)
LEAST_SLOT: Final = Fact(2, "stitches", derived("an opening of one stitch holds no ear"))


@dataclass(frozen=True, slots=True)
class EarSlots:
    """Two openings, alike on both sides.

    Attributes:
        row: the hood row that chains over them; the next one closes them.
        stitches: skipped stitches, and chains, of each.
        beside: stitches between a front edge and its opening.
    """

    row: int
    stitches: int
    beside: int


def _refused(field: str, reason: str) -> ValueOutOfRangeError:
    return ValueOutOfRangeError(field, f"No ear openings: {reason}")


def _even(row: int) -> int:
    return row - row % 2


def _row(plan: RowPlan, gauge: Gauge, above_collar_mm: float | None) -> int:
    """Return the wrong side row of the openings: where the crown begins, or as high as asked."""
    beside = int(LEAST_BESIDE.value)
    first = beside + 2 - beside % 2
    last = _even(plan.hood_rows - beside - 1)
    if last < first:
        raise _refused("ear_base", f"the hood has only {plan.hood_rows} rows.")
    if above_collar_mm is None:
        return min(last, max(first, _even(plan.crown_row - 1)))
    row = 2 * round(above_collar_mm / gauge.row_mm / 2)
    if not first <= row <= last:
        low, high = first * gauge.row_mm, last * gauge.row_mm
        reason = f"they must lie {low:.0f} to {high:.0f} mm above the collar."
        raise _refused("ear_above_collar", reason)
    return row


def ear_openings(
    plan: RowPlan,
    gauge: Gauge,
    base_mm: float,
    from_centre_mm: float,
    above_collar_mm: float | None = None,
) -> EarSlots:
    """Return the openings for the ears.

    Args:
        plan: the row plan.
        gauge: of the hood.
        base_mm: width of the ear's base, in mm.
        from_centre_mm: from the centre back to the nearer end of the base, in mm.
        above_collar_mm: from the collar up to the base, in mm; None for where the crown begins.

    Raises:
        ValueOutOfRangeError: if they would meet the decreases, a front edge, the collar or
            the top; the sentence says which.
    """
    lengths = (("ear_base", base_mm), ("ear_from_centre", from_centre_mm))
    for field, mm in (*lengths, ("ear_above_collar", above_collar_mm or 1)):
        if not (isfinite(mm) and mm > 0):
            raise _refused(field, f"a {field.replace('_', ' ')} is over 0.")
    row = _row(plan, gauge, above_collar_mm)
    half = plan.stitches_after(row) // 2
    decreases = plan.stitches_after(row) - plan.stitches_after(row + 1)
    slot = max(int(LEAST_SLOT.value), round(base_mm / gauge.stitch_mm))
    inner = round(from_centre_mm / gauge.stitch_mm)
    least = max(int(LEAST_BESIDE.value), decreases + 1)
    if inner < least:
        reason = (
            f"{from_centre_mm:.0f} mm from the centre back they would meet its decreases;"
            f" {least * gauge.stitch_mm:.0f} mm is the least."
        )
        raise _refused("ear_from_centre", reason)
    beside = half - inner - slot
    if beside < LEAST_BESIDE.value:
        room = (half - LEAST_BESIDE.value) * gauge.stitch_mm
        reason = (
            f"base and distance together reach {(inner + slot) * gauge.stitch_mm:.0f} mm from the"
            f" centre back, and the front edge leaves room for {room:.0f} mm."
        )
        raise _refused("ear_base", reason)
    return EarSlots(row, slot, beside)
