"""The work of a plan, one step after the other: rows, measures, and what else is to do."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import chain
from typing import Final

from documents.figures import tolerance_text
from documents.ticket_folding import step_of
from documents.ticket_rows import Todo
from documents.ticket_sections import sections_of
from service.bench.step import Check, Does, Step, Work
from service.bodies import OrderIn
from sizing.checkpoints import points_of
from sizing.labour import PACE_OF
from sizing.plan import Plan
from sizing.rates import Rates
from sizing.rows import ADD_ONS, SEAMS, Op, Operation, Part, PartName, Row
from sizing.units import show_length
from sizing.wording import (
    counted,
    part_closing,
    part_opening,
    part_title,
    round_word,
    row_text,
)

FINISHING: Final = "Finishing"
BY_THE_PIECE: Final = frozenset({"weaving in", "buttons", "trying on"})
"""The tasks of the plan that are no rows and are done at the bench."""
HANDING_OVER: Final = "Handing over"
"""The section of the ticket that is no work at the bench."""


@dataclass(frozen=True, slots=True)
class _Bench:
    """What the steps of a plan are made with."""

    plan: Plan
    asked: OrderIn
    rates: Rates
    number: str

    def work(self, *operations: Operation) -> tuple[Work, ...]:
        """Return the stitches of operations by the pace that they are made at."""
        found: defaultdict[str, int] = defaultdict(int)
        for one in operations:
            if one.op in PACE_OF and one.count:
                kind, times = PACE_OF[one.op]
                found[kind] += times * one.count
        pace = self.rates.pace
        return tuple(Work(kind, n, n / getattr(pace, kind)) for kind, n in found.items())

    def row(self, part: Part, row: Row, prefix: str, last: int) -> Step:
        """Return a row as a step."""
        terms, seam = self.asked.terms, part.part in SEAMS
        plain = replace(row, colour="")
        told = step_of(part, plain, terms)
        turn = Operation(Op.CH, part.turning_chain if row.row > 1 else 0)
        work = self.work(*row.operations, turn)
        turning = 0.0 if seam or part.rounds else self.rates.minutes.per_turn
        stitches = sum(one.count for one in row.operations)
        crown = part.part is PartName.HOOD and row.row == self.plan.rows.crown_row
        return Step(
            key=f"{prefix}r{row.row}",
            does=Does.ROW,
            part=part_title(part.part),
            head="The seam" if seam else f"{told.word} {row.row}",
            text=row_text(part.part, plain, terms) if seam else told.text,
            of="" if seam else f"of {last}",
            side=told.side,
            colour=row.colour,
            count=counted(stitches) if seam else told.count,
            note=f"The crown begins with row {row.row}." if crown else "",
            row=row.row,
            rows=last,
            stitches=row.stitches,
            name=part.part,
            work=work,
            minutes=sum(one.minutes for one in work) + turning,
        )

    def checks(self, part: Part, row: Row, prefix: str) -> Iterator[Step]:
        """Yield what is measured after a row; a shape to sew on is not planned again by it."""
        unit, shape = self.asked.unit, part.part in ADD_ONS
        every = points_of(part, self.plan.checkpoints, self.plan.gauge)
        points = [point for point in every if point.row == row.row]
        for place, point in enumerate(points, 1):
            near = tolerance_text(point.tolerance_mm, unit)
            yield Step(
                key=f"{prefix}r{row.row}m{place}",
                does=Does.TODO if shape else Does.CHECK,
                part=part_title(part.part),
                head=f"Measure after {round_word(part)} {row.row}",
                text=f"{point.name[0].upper()}{point.name[1:]}",
                count=f"{show_length(point.mm, unit)} ({near})",
                note="Flat and relaxed, not pulled.",
                name=part.part,
                check=None if shape else Check(point.name, point.mm, point.tolerance_mm),
            )

    def part(self, place: int, part: Part, copy: int) -> Iterator[Step]:
        """Yield the steps of one copy of a part."""
        prefix = f"p{place}c{copy}"
        title = part_title(part.part)
        many = f", {copy} of {part.copies}" if part.copies > 1 else ""
        opening = part_opening(part, self.asked.terms, self.asked.wishes.hand)
        chain = self.work(Operation(Op.CH, part.foundation_chain or 0))
        if opening:
            before = "Before the seam" if part.part in SEAMS else "Before the first row"
            minutes, head = sum(one.minutes for one in chain), f"{before}{many}"
            yield Step(f"{prefix}o", Does.TODO, title, head, opening,
                       name=part.part, work=chain, minutes=minutes)  # fmt: skip
        last = part.rows[-1].row if part.rows else 0
        for row in part.rows:
            yield self.row(part, row, prefix, last)
            yield from self.checks(part, row, prefix)
        closing = part_closing(part)
        if closing:
            yield Step(f"{prefix}e", Does.TODO, title, "After the last row", closing)

    def copies(self, place: int, part: Part) -> Iterator[Step]:
        """Yield the steps of all copies of a part; those after the first follow it."""
        first = tuple(self.part(place, part, 1))
        yield from first
        begins = f"p{place}c1"
        for copy in range(2, part.copies + 1):
            for step in first:
                key = f"p{place}c{copy}{step.key.removeprefix(begins)}"
                head = step.head.replace(f", 1 of {part.copies}", f", {copy} of {part.copies}")
                yield replace(step, key=key, head=head)

    def finishing(self) -> Iterator[Step]:
        """Yield what is to do when all parts are made."""
        plan, asked = self.plan, self.asked
        sections = sections_of(plan, asked.terms, asked.wishes.hand, asked.unit, self.number)[
            len(plan.pattern.parts) :
        ]
        minutes = sum(one.minutes for one in plan.labour.tasks if one.name in BY_THE_PIECE)
        place = 0
        for section in sections:
            todos = [item for item in section.items if isinstance(item, Todo)]
            for todo in todos if section.title != HANDING_OVER else ():
                place += 1
                first = todo is todos[0] and section.title == FINISHING
                yield Step(f"f{place}", Does.TODO, section.title, "To do", todo.text,
                           minutes=minutes if first else 0.0)  # fmt: skip


def steps_of(plan: Plan, asked: OrderIn, rates: Rates, number: str) -> tuple[Step, ...]:
    """Return the work of a plan step by step, in the order's terms, unit and hand.

    Args:
        plan: what is worked by.
        asked: what the order asks for.
        rates: of the order; the minutes are reckoned with them.
        number: of the hood, for its label.
    """
    bench = _Bench(plan, asked, rates, number)
    made = chain.from_iterable(
        bench.copies(place, part) for place, part in enumerate(plan.pattern.parts)
    )
    return (*made, *bench.finishing())
