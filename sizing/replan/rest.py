"""The rows still to work, as parts of a pattern, and the machine's word on them."""

from dataclasses import replace

from sizing.errors import ValueOutOfRangeError
from sizing.gauge import Gauge
from sizing.machine import Held, Replay, replay, resume
from sizing.pattern import closing, collar, collar_seam, shaped_row
from sizing.replan.course import Course
from sizing.rowplan import RowPlan
from sizing.rows import Op, Operation, Part, PartName, Pattern, Row, Side
from sizing.variants.buttoned import Buttoned, spaced
from sizing.variants.ears import LEAST_BESIDE, EarSlots
from sizing.variants.edging import EdgingStitch, edging_along
from sizing.variants.make import Make
from sizing.variants.pickup import pick_up
from sizing.variants.stripes import colours


def _ears_again(ears: EarSlots | None, before: Course, after: Course) -> EarSlots | None:
    """Return the openings at the same distance from the centre back in a new course.

    Raises:
        ValueOutOfRangeError: if they no longer fit.
    """
    if ears is None or ears.row > before.hood_rows:
        return ears
    if ears.row >= after.hood_rows:
        reason = "The ear openings no longer fit: the hood ends below them."
        raise ValueOutOfRangeError("ear_base", reason)
    inner = before.counts[ears.row] // 2 - ears.stitches - ears.beside
    half = after.counts[ears.row] // 2
    needed = after.counts[ears.row] - after.counts[ears.row + 1] + 1
    beside = half - ears.stitches - inner
    plain = after.counts[ears.row - 1] == after.counts[ears.row]
    if beside < LEAST_BESIDE.value or inner < needed or not plain:
        reason = "The ear openings no longer fit between front edge and decreases."
        raise ValueOutOfRangeError("ear_base", reason)
    return replace(ears, beside=beside)


def _edging_again(make: Make, rows: int, gauge: Gauge) -> tuple[Operation, ...]:
    if not make.edging:
        return ()
    slipped = any(operation.op is Op.SL_ST for operation in make.edging)
    return edging_along(rows, gauge, EdgingStitch.SL_ST if slipped else EdgingStitch.SC)


def _buttoned_again(buttoned: Buttoned | None, stitches: int) -> Buttoned | None:
    """Return the buttonholes of a collar so many stitches high.

    Raises:
        ValueOutOfRangeError: if there is no room for one.
    """
    if buttoned is None or sum(buttoned.solid) + buttoned.buttons * buttoned.hole == stitches:
        return buttoned
    solid = spaced(stitches, buttoned.hole, buttoned.buttons)
    if len(solid) == 1:
        reason = "The buttonholes no longer fit: the collar is too low for them."
        raise ValueOutOfRangeError("button_mm", reason)
    return replace(buttoned, solid=solid)


def make_again(make: Make, before: Course, after: Course, gauge: Gauge) -> Make:
    """Return the variants of a hood, fitted to its new course."""
    ears = _ears_again(make.ears, before, after)
    return replace(
        make,
        buttoned=_buttoned_again(make.buttoned, after.collar_stitches),
        ears=ears,
        edging=_edging_again(make, after.hood_rows, gauge),
    )


def _first(course: Course, make: Make) -> Row:
    operations = pick_up(course.collar_rows, course.counts[0])
    if make.buttoned is not None:
        operations = (*operations, Operation(Op.SKIP, make.buttoned.overlap))
    return Row(1, Side.RIGHT, operations, course.counts[0])


def hood_of(course: Course, make: Make, done: int = 0) -> Part:
    """Return the hood's rows after the first `done`."""
    counts = course.counts
    rows = [
        _first(course, make)
        if row == 1
        else shaped_row(row, counts[row - 1], counts[row - 1] - counts[row], make.ears)
        for row in range(done + 1, course.hood_rows + 1)
    ]
    if make.stripes is not None:
        names = colours(make.stripes.hood, course.hood_rows)[done:]
        rows = [replace(row, colour=name) for row, name in zip(rows, names, strict=True)]
    return Part(PartName.HOOD, tuple(rows), turning_chain=make.turning_chain)


def _last_colour(course: Course, make: Make) -> str:
    return colours(make.stripes.hood, course.hood_rows)[-1] if make.stripes else ""


def _body(course: Course, make: Make, done: int) -> tuple[Part, ...]:
    """Return the hood's rows after the first `done`, and all that follows them."""
    last = closing(course.counts[-1], _last_colour(course, make), make)
    return (hood_of(course, make, done), *last)


def rest_of(
    plan: RowPlan, course: Course, make: Make, part: PartName, done: int
) -> tuple[Pattern, Replay]:
    """Return the parts still to make, and what the machine says they take.

    Args:
        plan: the row plan that the collar's numbers come from where it is still in work.
        course: the course to follow.
        make: the variants, fitted to the course.
        part: the part on the hook.
        done: rows made of it; 0 to begin it anew.

    Raises:
        PatternFaultError: if the machine refuses it, which is our fault.
    """
    collared_plan = plan_with(plan, course)
    strip = collar(collared_plan, make)
    colour = strip.rows[-1].colour
    seam = collar_seam(collared_plan)
    joined = (
        () if make.buttoned else (replace(seam, rows=(replace(seam.rows[0], colour=colour),)),)
    )
    if part is PartName.COLLAR:
        whole = Pattern((_from(strip, done), *joined, *_body(course, make, 0)))
        if not done:
            return whole, replay(whole)
        return whole, resume(Held(part, done, course.collar_stitches), whole)
    if done:
        rest = Pattern(_body(course, make, done))
        return rest, resume(Held(part, done, course.counts[done]), rest)
    collared = Pattern((_from(strip, len(strip.rows)), *joined, *_body(course, make, 0)))
    held = Held(PartName.COLLAR, len(strip.rows), course.collar_stitches)
    return Pattern(_body(course, make, 0)), resume(held, collared)


def plan_with(plan: RowPlan, course: Course) -> RowPlan:
    """Return a row plan with the collar of a course."""
    return replace(plan, collar_rows=course.collar_rows, collar_stitches=course.collar_stitches)


def _from(part: Part, done: int) -> Part:
    return replace(part, rows=part.rows[done:])
