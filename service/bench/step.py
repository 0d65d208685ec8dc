"""One step of the work."""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from sizing.rows import PartName


class Does(StrEnum):
    """What a step asks for: a row, a measure, or something else to do."""

    ROW = "row"
    CHECK = "check"
    TODO = "todo"


@dataclass(frozen=True, slots=True)
class Check:
    """What to measure: the name of the length, in mm, and how near is near enough."""

    name: str
    mm: float
    tolerance_mm: float


class Work(NamedTuple):
    """Stitches of one kind, a field name of `Pace`, and the minutes reckoned for them."""

    kind: str
    number: int
    minutes: float


@dataclass(frozen=True, slots=True)
class Step:
    """One step.

    Attributes:
        key: its name, of part, copy and row; the same in every plan of an order.
        does: what it asks for.
        part: the part's heading.
        head: what it is called: `Row 12`.
        text: what to do, in a sentence.
        of: how many rows the part has, in words; empty for what is no row.
        side: `RS` or `WS`; empty for what is no row.
        colour: of the row; empty for the only one.
        count: the stitches after it, or the length to see.
        note: a remark.
        row: its number; 0 for what is no row.
        rows: how many rows the part has.
        stitches: after it.
        name: which part; None for what belongs to none.
        work: its stitches.
        minutes: what it takes by the order's rates, the turn among it.
        check: what to measure, or None.
    """

    key: str
    does: Does
    part: str
    head: str
    text: str
    of: str = ""
    side: str = ""
    colour: str = ""
    count: str = ""
    note: str = ""
    row: int = 0
    rows: int = 0
    stitches: int = 0
    name: PartName | None = None
    work: tuple[Work, ...] = ()
    minutes: float = 0.0
    check: Check | None = None

    @property
    def brief(self) -> str:
        """Return the step in a line, for what comes next."""
        if self.does is Does.TODO:
            return f"{self.part}: {self.text}"
        if self.does is Does.CHECK:
            return f"Measure: {self.text}"
        place = ", ".join(part for part in (self.head, self.side, self.colour) if part)
        return f"{place}: {self.text}"
