"""The course of a hood: its stitch counts row by row, those made and those to come."""

from dataclasses import dataclass
from typing import Final

from sizing.evenly import shares
from sizing.evidence import Fact, derived
from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.rowplan import (
    CROWN_PAIRS,
    FIRST_DECREASE_ROW,
    LEAST_HOOD_ROWS,
    LEAST_STITCHES,
    NAPE_PAIRS,
    RowPlan,
    fold_length,
)
from sizing.shaping import CROWN_WEIGHT, NAPE_WEIGHT

CATCH_UP: Final = Fact(
    2,
    "pairs of decreases short",
    derived(
        "judgement: one crown row; only beyond it does a wrong side decrease, which shows, pay"
    ),
)
TOP_WEIGHT: Final = Fact(
    0.1, "weight of a pair too many at the top, squared", derived("as a pair missing in the nape")
)


@dataclass(frozen=True, slots=True)
class Course:
    """A hood in whole numbers, in which any row may decrease.

    Attributes:
        collar_stitches, collar_rows: the collar.
        counts: stitches of the hood: those picked up, then after each row.
        crown_row: the first row of the crown; one past the last row if there is none.
    """

    collar_stitches: int
    collar_rows: int
    counts: tuple[int, ...]
    crown_row: int

    @property
    def hood_rows(self) -> int:
        """Return the rows of the hood."""
        return len(self.counts) - 1


def course_of(plan: RowPlan) -> Course:
    """Return the course of a row plan."""
    counts = tuple(plan.stitches_after(row) for row in range(plan.hood_rows + 1))
    return Course(plan.collar_stitches, plan.collar_rows, counts, plan.crown_row)


def dimensions(course: Course, gauge: Gauge) -> Dimensions:
    """Return the finished dimensions of a course, in mm."""
    size = (gauge.stitch_mm, gauge.row_mm)
    seam = course.counts[-1] / 2 * gauge.stitch_mm
    return Dimensions(
        collar_girth=course.collar_rows * gauge.rib_row_mm,
        collar_height=course.collar_stitches * gauge.rib_stitch_mm,
        nape=fold_length(list(course.counts[: course.crown_row]), *size),
        face_opening=2 * course.hood_rows * gauge.row_mm,
        crown=fold_length(list(course.counts[course.crown_row - 1 :]), *size) + seam,
    )


def _right_side(first: int, last: int) -> list[int]:
    least = int(FIRST_DECREASE_ROW.value)
    return [row for row in range(max(first, least), last + 1) if row % 2]


def _pairs(done: int, crown_row: int, rows: int, due: int) -> dict[int, int]:
    """Return the pairs of decreases of each row still to work, `due` of them if they can be.

    Nape and crown as common practice; wrong side rows of the crown only help out where much
    would be left.
    """
    nape_rows = _right_side(done + 1, min(crown_row - 1, rows))
    crown_rows = _right_side(max(crown_row, done + 1), rows)
    nape = min(int(NAPE_PAIRS.value) * len(nape_rows), max(0, due - min(1, len(crown_rows))))
    crown = min(int(CROWN_PAIRS.value) * len(crown_rows), due - nape)
    found = dict(zip(nape_rows, shares(nape, len(nape_rows)), strict=True)) if nape_rows else {}
    if crown_rows:
        found |= dict(zip(crown_rows, shares(crown, len(crown_rows)), strict=True))
    left = due - nape - crown
    if left > CATCH_UP.value:
        wrong = [row for row in range(max(crown_row, done + 1), rows + 1) if row % 2 == 0]
        extra = min(left, int(CROWN_PAIRS.value) * len(wrong))
        found |= dict(zip(wrong, shares(extra, len(wrong)), strict=True)) if wrong else {}
    return found


def _going_on(course: Course, done: int, crown_row: int, rows: int) -> Course:
    """Return the course whose first rows are made and whose crown begins with a given row."""
    counts = list(course.counts[: done + 1])
    least = max(course.counts[-1], int(LEAST_STITCHES.value))
    pairs = _pairs(done, crown_row, rows, max(0, (counts[-1] - least) // 2))
    for row in range(done + 1, rows + 1):
        counts.append(counts[-1] - 2 * pairs.get(row, 0))
    return Course(course.collar_stitches, course.collar_rows, tuple(counts), crown_row)


def _cost(course: Course, top: int, aim: Dimensions, gauge: Gauge) -> float:
    made = dimensions(course, gauge)
    nape = (made.nape - aim.nape) / gauge.row_mm
    cost = NAPE_WEIGHT.value * nape**2
    cost += TOP_WEIGHT.value * ((course.counts[-1] - top) / 2) ** 2
    if aim.crown is not None and made.crown is not None:
        cost += CROWN_WEIGHT.value * ((made.crown - aim.crown) / gauge.row_mm) ** 2
    return cost


def go_on(course: Course, done: int, aim: Dimensions, gauge: Gauge) -> Course:
    """Return the best course whose first `done` rows of the hood are made.

    Args:
        course: the course so far; its last count is what is aimed at for the top.
        done: rows of the hood made, at least one.
        aim: the target dimensions.
        gauge: the gauge in hand.
    """
    nearest = round(aim.face_opening / 2 / gauge.row_mm)
    rows = max(done, nearest, int(LEAST_HOOD_ROWS.value))
    crown_rows = [course.crown_row]
    if course.crown_row > done:
        crown_rows = [*_right_side(done + 1, rows), rows + 1]
    candidates = (_going_on(course, done, crown_row, rows) for crown_row in crown_rows)
    return min(candidates, key=lambda one: _cost(one, course.counts[-1], aim, gauge))
