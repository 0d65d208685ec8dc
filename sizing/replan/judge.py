"""Courses from a row of the part in hand, and whether what they finish is near enough."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived
from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.replan.course import Course, course_of, dimensions, go_on
from sizing.replan.rest import make_again
from sizing.rowplan import LEAST_COLLAR_STITCHES, LEAST_STITCHES, RowPlan, nearest_even
from sizing.rows import PartName
from sizing.search import AS_GOOD, shaping_for
from sizing.variants.make import Make
from sizing.variants.pickup import least_picked_up, most_picked_up

TOLERANCE: Final = Fact(
    0.04, "share of the length", derived("judgement: about the tape error on a dog, 3 percent")
)


@dataclass(frozen=True, slots=True)
class Piece:
    """A part in hand and what it is to become.

    Attributes:
        plan: the row plan it was begun with.
        course: the course of that plan.
        aim: the target dimensions.
        gauge: the gauge in hand.
        part: collar or hood.
        make: the variants.
        as_planned: whether it comes out as the gauge of the plan has it.
    """

    plan: RowPlan
    course: Course
    aim: Dimensions
    gauge: Gauge
    part: PartName
    make: Make
    as_planned: bool = False

    @property
    def lap(self) -> int:
        """Return the rows of the overlap."""
        return self.make.buttoned.overlap if self.make.buttoned else 0

    @property
    def planned(self) -> int:
        """Return the rows that the part has in its plan."""
        if self.part is PartName.HOOD:
            return self.course.hood_rows
        return self.course.collar_rows + self.lap


def _anew(piece: Piece, rows: int, stitches: int) -> Course:
    """Return the best course above a collar of so many rows and stitches."""
    plan = piece.plan
    picked = rows
    if plan.hood_stitches != plan.collar_rows:
        share = plan.hood_stitches / plan.collar_rows
        picked = nearest_even(rows * share, int(LEAST_STITCHES.value))
    picked = min(most_picked_up(rows), max(least_picked_up(rows), picked))
    shaping = shaping_for(picked, piece.aim, piece.gauge)
    best = RowPlan(stitches, picked, shaping.hood_rows, shaping.crown_row, shaping.pairs)
    return replace(course_of(best), collar_rows=rows)


def _from_collar(piece: Piece, done: int, stitches: int) -> Course:
    """Return the best course with `done` rows of the collar made; with 0, of any height.

    Rows of an overlap without a buttonhole are rows like any other: only with the buttonholes
    is the girth settled.
    """
    plan, gauge, aim = piece.plan, piece.gauge, piece.aim
    plain = piece.make.buttoned.hole_row - 1 if piece.make.buttoned else 0
    if done > plan.collar_rows + plain and plain:
        return _anew(piece, plan.collar_rows, stitches)
    least = done - plain + (done - plain) % 2
    rows = nearest_even(aim.collar_girth / gauge.rib_row_mm, max(int(LEAST_STITCHES.value), least))
    if not done:
        height = round(aim.collar_height / gauge.rib_stitch_mm)
        stitches = max(int(LEAST_COLLAR_STITCHES.value), height)
    return _anew(piece, rows, stitches)


def from_row(piece: Piece, done: int, stitches: int | None = None) -> Course:
    """Return the best course with `done` rows of the part made.

    Args:
        piece: the part.
        done: rows made; 0 to begin it anew.
        stitches: those on the hook; None where ripping back brings back the planned ones.
    """
    course = piece.course
    if piece.part is PartName.COLLAR:
        now = course.collar_stitches if stitches is None else stitches
        return _from_collar(piece, done, now)
    if not done:
        return _anew(piece, course.collar_rows, course.collar_stitches)
    made = course.counts[:done]
    made += (course.counts[-1],) * (done - len(made))
    now = course.counts[min(done, course.hood_rows)] if stitches is None else stitches
    counts = (*made, now, *course.counts[done + 1 :])
    same = Course(course.collar_stitches, course.collar_rows, counts, course.crown_row)
    return go_on(same, done, piece.aim, piece.gauge)


def misses(piece: Piece, course: Course, done: int) -> tuple[str, ...]:
    """Return what keeps a course from `done` rows on from being good enough."""
    made, aim, gauge = dimensions(course, piece.gauge), piece.aim, piece.gauge
    checks = [
        ("the nape", made.nape, aim.nape, gauge.row_mm + gauge.stitch_mm / 2),
        ("the face opening", made.face_opening, aim.face_opening, 2 * gauge.row_mm),
    ]
    found = []
    if piece.part is PartName.COLLAR:
        checks += [
            ("the collar girth", made.collar_girth, aim.collar_girth, gauge.rib_row_mm),
            ("the collar height", made.collar_height, aim.collar_height, gauge.rib_stitch_mm),
        ]
        if done > course.collar_rows + piece.lap:
            found.append("the overlap")
    found += [
        name for name, mm, due, step in checks if abs(mm - due) > max(step, TOLERANCE.value * due)
    ]
    try:
        make_again(piece.make, piece.course, course, gauge)
    except ValueOutOfRangeError:
        found.append("an opening")
    return tuple(found)


def as_good(piece: Piece, old: Course, best: Course) -> bool:
    """Return whether the old course misses by no more than the best and half a step."""
    aim, gauge = piece.aim, piece.gauge
    mine, theirs = dimensions(old, gauge), dimensions(best, gauge)
    steps = (
        (mine.nape, theirs.nape, aim.nape, gauge.row_mm),
        (mine.face_opening, theirs.face_opening, aim.face_opening, 2 * gauge.row_mm),
        (mine.collar_girth, theirs.collar_girth, aim.collar_girth, gauge.rib_row_mm),
    )
    return all(
        abs(ours - due) - abs(other - due) <= AS_GOOD.value * step
        for ours, other, due, step in steps
    )


def best_from(piece: Piece, done: int, stitches: int) -> Course:
    """Return the best course from what is on the hook; the old one where it is as good.

    Then the printed ticket still holds. It holds too for a piece that comes out as planned, if
    what it will finish is near enough: nobody is told other rows while all is well.
    """
    old, best = piece.course, from_row(piece, done, stitches)
    if piece.part is PartName.COLLAR:
        on_plan = stitches == old.collar_stitches
    else:
        on_plan = done <= old.hood_rows and stitches == old.counts[done]
    if not on_plan or done > piece.planned:
        return best
    well = piece.as_planned and not misses(piece, old, done)
    return old if well or as_good(piece, old, best) else best


def open_after(piece: Piece, done: int) -> bool:
    """Return whether a row leaves an opening on the hook, from which nothing can be planned."""
    if piece.part is PartName.COLLAR:
        buttoned = piece.make.buttoned
        return buttoned is not None and done == piece.plan.collar_rows + buttoned.hole_row
    return piece.make.ears is not None and done == piece.make.ears.row


def _earlier(piece: Piece, done: int) -> Iterator[int]:
    """Yield the rows to rip back to that are worth a look, the last first."""
    if piece.part is PartName.HOOD:
        yield from range(min(done - 1, piece.planned), 0, -1)
        return
    whole = nearest_even(piece.aim.collar_girth / piece.gauge.rib_row_mm, 2)
    rows = {whole, whole + piece.lap, piece.planned, piece.plan.collar_rows}
    yield from sorted((row for row in rows if 0 < row < done), reverse=True)


def rip_back(piece: Piece, done: int) -> tuple[int, Course]:
    """Return the last row from which the hood comes out right, and the course from there."""
    for row in _earlier(piece, done):
        if not open_after(piece, row):
            course = from_row(piece, row)
            if not misses(piece, course, row):
                return row, course
    return 0, from_row(piece, 0)
