"""The plan that is worked by: the kept one, or the rest planned again and followed."""

import hashlib
import json
from dataclasses import dataclass, replace
from typing import Any, Final

from service.bodies import OrderIn
from service.models import BenchEvent, Order
from service.planning import plan_again
from service.work import judged
from service.workbodies import InHandIn
from sizing.checkpoints import checkpoints_of
from sizing.plan import Plan
from sizing.replan import Course, Replan, Verdict, course_of
from sizing.replan.rest import make_again
from sizing.rowplan import RowPlan, shaped_rows
from sizing.rows import PartName, Pattern

MARK: Final = 16
"""Characters of a digest that mark a plan."""


@dataclass(frozen=True, slots=True)
class Working:
    """A plan that is or was worked by.

    Attributes:
        mark: by which events name it.
        plan: with all its parts, those already made among them.
        part, row: the last row of a part that was made before it was followed; for the plan as
            it was kept there is none.
    """

    mark: str
    plan: Plan
    part: PartName | None = None
    row: int = 0


def mark_of(kept: dict[str, Any]) -> str:
    """Return the mark of a kept plan: another pattern has another."""
    text = json.dumps(kept["pattern"], sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:MARK]


def _rows_of(before: RowPlan, course: Course) -> RowPlan:
    """Return a course as a row plan, as far as one can hold it."""
    counts, last = course.counts, course.hood_rows
    odd = [row for row in range(1, last + 1) if shaped_rows(row, row)]
    same = replace(
        before,
        collar_stitches=course.collar_stitches,
        collar_rows=course.collar_rows,
        hood_rows=last,
        crown_row=course.crown_row,
        pickup=counts[0],
        pairs=tuple((counts[row - 1] - counts[row]) // 2 for row in odd),
    )
    if course_of(same) == course:
        return same
    # Decreases in wrong side rows: the counts of the old plan stand for those already worked.
    return replace(same, pairs=before.pairs, pickup=before.hood_stitches)


def _pattern(before: Pattern, again: Replan, part: PartName) -> Pattern:
    """Return the parts made so far and the rest, as one pattern."""
    names = [one.part for one in before.parts]
    made = before.parts[: names.index(part)]
    old, (first, *others) = before.part(part), again.rest.parts
    kept = tuple(row for row in old.rows if row.row <= again.row)
    whole = replace(first, rows=(*kept, *first.rows), foundation_chain=old.foundation_chain)
    return Pattern((*made, whole, *others))


def followed(working: Working, again: Replan, part: PartName, mark: str) -> Working:
    """Return the plan in which the rest is worked as planned again.

    Args:
        working: the plan worked by so far.
        again: the rest, planned again from it.
        part: the part on the hook.
        mark: of the new plan.
    """
    plan = working.plan
    used = plan.gauge if again.verdict is Verdict.CHANGE_HOOK else again.hand.gauge
    make = make_again(plan.make, course_of(plan.rows), again.course, used)
    rows = _rows_of(plan.rows, again.course)
    new = replace(
        plan,
        rows=rows,
        gauge=used,
        make=make,
        finished=again.finished,
        pattern=_pattern(plan.pattern, again, part),
        checkpoints=checkpoints_of(rows, again.finished, used, make),
    )
    return Working(mark, new, part, again.row)


def plans_of(order: Order, follows: list[BenchEvent]) -> tuple[Working, ...]:
    """Return the plans that an order was worked by, the one in force last.

    Args:
        order: with a plan.
        follows: its events of that kind, as they were kept; one that followed another plan
            than the one then in force belongs to an order since planned anew.
    """
    kept, unit = order.plan or {}, OrderIn.model_validate(order.asked).unit
    found = [Working(mark_of(kept), plan_again(kept))]
    for event in follows:
        if event.plan == found[-1].mark:
            asked = InHandIn.model_validate(event.details["piece"])
            again = judged(found[-1].plan, asked, unit)
            found.append(followed(found[-1], again, PartName(asked.part), event.uid))
    return tuple(found)
