"""The verdict on a piece in hand: carry on, rip back to a row, or change the hook.

In this order: a piece that no hand works is measured again; a fabric that is far from the
swatch gets another hook, because stretch and drape change with it; then the best course from
the row on the hook, if what it finishes lies within tolerance; else the last row from which
one does; else the part is begun anew.
"""

from dataclasses import dataclass, replace
from enum import StrEnum
from math import log
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived, memory
from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.machine import Replay
from sizing.replan.course import Course, course_of, dimensions
from sizing.replan.hand import GaugeInHand, InHand, Plausible, gauge_in_hand
from sizing.replan.judge import Piece, best_from, misses, open_after, rip_back
from sizing.replan.rest import make_again, rest_of
from sizing.rowplan import LEAST_STITCHES, RowPlan
from sizing.rows import PartName, Pattern
from sizing.variants.make import PLAIN, Make

FABRIC: Final = Fact(
    0.12,
    "share of the gauge",
    derived("judgement: three times a swatch's error; rib so far off stretches otherwise"),
)
SAME: Final = Fact(
    0.01, "share of the gauge", derived("judgement: a row in a hundred; no tape tells it apart")
)
HOOK_STEP: Final = Fact(
    0.06, "log of the gauge", memory("what half a millimetre of hook changes in medium yarn")
)
STEP_MM: Final = Fact(0.5, "mm", memory("the step between usual hook sizes"))


class Verdict(StrEnum):
    """What to do with the piece."""

    CARRY_ON = "carry on"
    RIP_BACK = "rip back"
    CHANGE_HOOK = "change hook"
    MEASURE_AGAIN = "measure again"


@dataclass(frozen=True, slots=True)
class Replan:
    """A piece in hand, judged.

    Attributes:
        hand: the gauge that it shows.
        verdict: what to do.
        row: the row of the part to carry on from; 0 to begin the part anew.
        why: the reason, a sentence.
        hook_mm_change: how much thicker a hook to take, in mm; negative for thinner; else 0.
        changed: whether the rows to work differ from those of the old plan.
        course: the course to follow.
        rest: the parts to work from that row on; the first is the part in hand.
        made: what the machine says that takes.
        unchanged: finished dimensions if the old plan is followed.
        carried_on: finished dimensions if the best course from the row on the hook is followed.
        finished: finished dimensions if the verdict is followed.
    """

    hand: GaugeInHand
    verdict: Verdict
    row: int
    why: str
    hook_mm_change: float
    changed: bool
    course: Course
    rest: Pattern
    made: Replay
    unchanged: Dimensions
    carried_on: Dimensions
    finished: Dimensions


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to go on: what to do, from which row, on which course, and why."""

    verdict: Verdict
    row: int
    course: Course
    why: str
    hook: float = 0.0


def _hook_change(hand: GaugeInHand) -> float:
    """Return the change of hook in mm; 0 where the fabric is near enough to the swatch."""
    off = max((hand.stitch_ratio, hand.row_ratio), key=lambda ratio: abs(log(ratio)))
    if hand.plausible is Plausible.ODD or abs(log(off)) <= log(1 + FABRIC.value):
        return 0.0
    steps = max(1, round(abs(log(off)) / HOOK_STEP.value))
    return -STEP_MM.value * steps if off > 1 else STEP_MM.value * steps


def _checked(piece: Piece, in_hand: InHand) -> None:
    """Refuse a piece that cannot be gone on with as it was counted."""
    now = in_hand.stitches_now
    if piece.part is PartName.HOOD and (now % 2 or now < LEAST_STITCHES.value):
        reason = (
            f"A hood has an even number of stitches in every row, at least"
            f" {LEAST_STITCHES.value:g}, not {now}: count again. If it is so, rip back to the last"
            " row whose count is right."
        )
        raise ValueOutOfRangeError("stitches_now", reason)
    if open_after(piece, in_hand.rows_made):
        reason = "The last row leaves an opening: work the row that closes it first."
        raise ValueOutOfRangeError("rows_made", reason)


def _unchanged(piece: Piece, in_hand: InHand) -> Dimensions:
    """Return what the old plan finishes at the gauge in hand, with the stitches in hand."""
    course, extra = piece.course, max(0, in_hand.rows_made - piece.planned)
    if piece.part is PartName.COLLAR:
        rows = course.collar_rows + extra
        course = replace(course, collar_rows=rows, collar_stitches=in_hand.stitches_now)
    else:
        course = replace(course, counts=course.counts + (course.counts[-1],) * extra)
    return dimensions(course, piece.gauge)


def _way(piece: Piece, in_hand: InHand, hand: GaugeInHand, best: Course) -> _Way:
    """Return what to do."""
    done, bad = in_hand.rows_made, misses(piece, best, in_hand.rows_made)
    if hand.plausible is Plausible.ODD:
        why = (
            f"One stitch would be {hand.measured_stitch_mm:.1f} mm wide and one row"
            f" {hand.measured_row_mm:.1f} mm high; planned are {hand.planned_stitch_mm:.1f} and"
            f" {hand.planned_row_mm:.1f} mm. Count and measure the piece again."
        )
        return _Way(Verdict.MEASURE_AGAIN, done, best, why)
    hook = _hook_change(hand)
    if hook:
        looser, other = ("looser", "thinner") if hook < 0 else ("firmer", "thicker")
        why = (
            f"The fabric is much {looser} than the swatch: rip it out, take a hook"
            f" {abs(hook):g} mm {other} and begin this part again."
        )
        return _Way(Verdict.CHANGE_HOOK, 0, piece.course, why, hook)
    if not bad:
        return _Way(Verdict.CARRY_ON, done, best, "What is on the hook can still come out right.")
    row, course = rip_back(piece, done)
    where = f"rip back to row {row}" if row else "begin this part again"
    why = f"With the rows made, {' and '.join(bad)} cannot come out right: {where}."
    return _Way(Verdict.RIP_BACK, row, course, why)


def replan(
    plan_rows: RowPlan, gauge: Gauge, target: Dimensions, in_hand: InHand, make: Make = PLAIN
) -> Replan:
    """Return what to do with a piece in hand.

    Args:
        plan_rows: the row plan it was begun with.
        gauge: the gauge of that plan.
        target: the dimensions to aim at, in mm.
        in_hand: what is on the hook.
        make: the variants of the hood.

    Raises:
        ValueOutOfRangeError: if the piece cannot be gone on with as it was counted, or the
            ear openings fit no course.
    """
    hand = gauge_in_hand(gauge, in_hand)
    old = course_of(plan_rows)
    off = max(abs(log(ratio)) for ratio in (hand.stitch_ratio, hand.row_ratio))
    same = off <= log(1 + SAME.value)
    piece = Piece(plan_rows, old, target, hand.gauge, in_hand.part, make, as_planned=same)
    _checked(piece, in_hand)
    best = best_from(piece, in_hand.rows_made, in_hand.stitches_now)
    way = _way(piece, in_hand, hand, best)
    used = gauge if way.verdict is Verdict.CHANGE_HOOK else hand.gauge
    fitted = make_again(make, old, way.course, used)
    rest, made = rest_of(plan_rows, way.course, fitted, in_hand.part, way.row)
    return Replan(
        hand=hand,
        verdict=way.verdict,
        row=way.row,
        why=way.why,
        hook_mm_change=way.hook,
        changed=way.course != old,
        course=way.course,
        rest=rest,
        made=made,
        unchanged=_unchanged(piece, in_hand),
        carried_on=dimensions(best, hand.gauge),
        finished=dimensions(way.course, used),
    )
