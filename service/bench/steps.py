"""The work of a plan, one step after the other: rows, measures, and what else is to do."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import chain
from typing import Final

from documents.figures import hook_text, tolerance_text
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
    seam_words,
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

    def note(self, part: Part, row: Row) -> str:
        """Return what else is to be minded at a row: after a seam, at the crown, a new colour.

        A colour is changed in the last stitch of the row before its own: there it is said.
        """
        if part.part in SEAMS:
            return f"Then: {seam_words(part)[1]}"
        crown = part.part is PartName.HOOD and row.row == self.plan.rows.crown_row
        begun = f"The crown begins with row {row.row}." if crown else ""
        onward = next((one for one in part.rows if one.row == row.row + 1), None)
        other = onward is not None and onward.colour != row.colour
        change = f"Change to {onward.colour} with the last yarn over." if onward and other else ""
        return " ".join(said for said in (begun, change) if said)

    def row(self, part: Part, row: Row, prefix: str, last: int) -> Step:
        """Return a row as a step."""
        terms, seam = self.asked.terms, part.part in SEAMS
        plain = replace(row, colour="")
        told = step_of(part, plain, terms)
        turn = Operation(Op.CH, part.turning_chain if row.row > 1 else 0)
        work = self.work(*row.operations, turn)
        turning = 0.0 if seam or part.rounds else self.rates.minutes.per_turn
        stitches = sum(one.count for one in row.operations)
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
            note=self.note(part, row),
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

    def ready(self) -> str:
        """Return what lies ready before the first stitch: the hook and the yarn."""
        yarn = self.asked.yarn
        lot = f", lot {yarn.lot}" if yarn.lot else ""
        said = f"Hook {hook_text(self.plan.hook_mm)}. {yarn.name or 'Yarn without a name'}{lot}."
        return said if self.plan.gauge.tested else f"{said} Make the swatch of the ticket first."

    def opening(self, part: Part) -> str:
        """Return what is done before the first row of each copy of a part."""
        if part.part in SEAMS:
            return seam_words(part)[0]
        return part_opening(replace(part, copies=1), self.asked.terms, self.asked.wishes.hand)

    def part(self, place: int, part: Part) -> Iterator[Step]:
        """Yield the steps of the first copy of a part."""
        prefix = f"p{place}c1"
        title = part_title(part.part)
        opening = self.opening(part)
        chain = self.work(Operation(Op.CH, part.foundation_chain or 0))
        if opening:
            seam = part.part in SEAMS
            before = "Before the seam" if seam else f"Before the first {round_word(part)}"
            minutes = sum(one.minutes for one in chain)
            yield Step(f"{prefix}o", Does.TODO, title, before, opening,
                       note=self.ready() if place == 0 else "",
                       name=part.part, work=chain, minutes=minutes)  # fmt: skip
        last = part.rows[-1].row if part.rows else 0
        for row in part.rows:
            yield self.row(part, row, prefix, last)
            yield from self.checks(part, row, prefix)
        closing = part_closing(part)
        if closing:
            yield Step(
                f"{prefix}e", Does.TODO, title, f"After the last {round_word(part)}", closing
            )

    def copies(self, place: int, part: Part) -> Iterator[Step]:
        """Yield the steps of all copies of a part; each says which copy it is of."""
        first, begins = tuple(self.part(place, part)), f"p{place}c1"
        if part.copies == 1:
            yield from first
            return
        for copy in range(1, part.copies + 1):
            for step in first:
                key = f"p{place}c{copy}{step.key.removeprefix(begins)}"
                yield replace(step, key=key, part=f"{step.part}, {copy} of {part.copies}")

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
