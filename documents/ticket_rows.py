"""The rows of a pattern, folded for the eye: what repeats is said once, with a box each.

No row is lost by the folding: each has its own number, its own box and its stitch count.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from sizing.rows import Op, Part, PartName, Row
from sizing.wording import Terms, counted, row_text

LEAST_STRIP: Final = 4
"""Rows alike from which on they are folded; fewer are as quickly read one by one."""
GROUP: Final = 10


@dataclass(frozen=True, slots=True)
class Step:
    """One row: its number, side, instruction, stitches after it, and whether it decreases."""

    row: int
    side: str
    text: str
    count: str
    shaped: bool = False


@dataclass(frozen=True, slots=True)
class Pair:
    """A right side row and the wrong side row after it, the rhythm of the hood."""

    first: Step
    second: Step


@dataclass(frozen=True, slots=True)
class Strip:
    """Rows that are all alike: one instruction and a box for each row."""

    first: int
    last: int
    text: str
    count: str

    @property
    def title(self) -> str:
        """Return the first and the last row: `2-40` with an en dash."""
        return f"{self.first}\u2013{self.last}"


@dataclass(frozen=True, slots=True)
class Check:
    """A moment at which the work is measured: when, what, and the length to see."""

    when: str
    what: str
    value: str


@dataclass(frozen=True, slots=True)
class Mark:
    """A remark between two rows."""

    text: str


@dataclass(frozen=True, slots=True)
class Todo:
    """Something to do that is no row."""

    text: str


Item = Step | Pair | Strip | Check | Mark | Todo


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the work: its heading, what is done before it, and its items in order."""

    title: str
    opening: str
    items: tuple[Item, ...]


def step_of(part: PartName, row: Row, terms: Terms) -> Step:
    """Return one row as a step; the count leaves the sentence for a column of its own."""
    text, _, count = row_text(part, row, terms).partition(" (")
    shaped = any(operation.op is Op.DEC for operation in row.operations)
    return Step(row.row, row.side.value, text, count.rstrip(")"), shaped)


def _alike(steps: tuple[Step, ...], start: int, stops: frozenset[int]) -> int:
    """Return how many steps from `start` on are one instruction, none of them after a stop."""
    first = steps[start]
    end = start
    while end < len(steps) and (steps[end].text, steps[end].count) == (first.text, first.count):
        end += 1
        if steps[end - 1].row in stops:
            break
    return end - start


def folded(steps: tuple[Step, ...], stops: frozenset[int]) -> Iterator[Item]:
    """Yield steps as strips, pairs and single steps; nothing is folded across a stop."""
    at = 0
    while at < len(steps):
        run = _alike(steps, at, stops)
        if run >= LEAST_STRIP:
            first, last = steps[at], steps[at + run - 1]
            yield Strip(first.row, last.row, first.text, first.count)
            at += run
        elif steps[at].row % 2 and at + 1 < len(steps) and steps[at].row not in stops:
            yield Pair(steps[at], steps[at + 1])
            at += 2
        else:
            yield steps[at]
            at += 1


def last_row(item: Item) -> int:
    """Return the row after which an item is done, 0 for what is no row."""
    if isinstance(item, Step):
        return item.row
    if isinstance(item, Pair):
        return item.second.row
    return item.last if isinstance(item, Strip) else 0


def items_of(
    part: Part, terms: Terms, checks: dict[int, tuple[Check, ...]], marks: dict[int, Mark]
) -> tuple[Item, ...]:
    """Return a part's rows folded, with its checks after their row and marks before theirs.

    Args:
        part: the part of the pattern.
        terms: US or UK.
        checks: by the row after which the work is measured.
        marks: by the row before which the remark stands.
    """
    steps = tuple(step_of(part.part, row, terms) for row in part.rows)
    stops = frozenset(checks) | frozenset(row - 1 for row in marks)
    found: list[Item] = []
    for item in folded(steps, stops):
        found.append(item)
        found.extend(checks.get(last_row(item), ()))
        if last_row(item) + 1 in marks:
            found.append(marks[last_row(item) + 1])
    return tuple(found)


def seam_items(part: Part, terms: Terms) -> tuple[Item, ...]:
    """Return the one row of a seam; what it leaves is no count, so it shows its stitches."""
    return tuple(
        Step(
            row.row,
            row.side.value,
            row_text(part.part, row, terms),
            counted(sum(operation.count for operation in row.operations)),
        )
        for row in part.rows
    )
