"""What bringing in says: of each line, and of the whole file."""

from enum import StrEnum
from typing import Annotated, Final

from pydantic import Field

from service.fields import Body, Line
from service.planbodies import Out

MOST_SHOWN: Final = 1_000
"""Lines that are told one by one; those that are refused come first."""


class Kind(StrEnum):
    """What a line does."""

    ORDER = "order"
    DOG = "dog"
    BUYER = "buyer"
    AGAIN = "brought in before"
    REFUSED = "refused"


class LineOut(Out):
    """What a line of the file does, or what is wrong with it by column."""

    line: int
    kind: Kind
    who: str
    does: list[str]
    wrong: dict[str, str]


class ReportOut(Out):
    """What a file does, or has done: counted, and line by line.

    `letters` says how its letters were read; `ignored` names columns that are none of ours. A
    file with a line that is refused is refused as a whole. `lines` holds the first thousand, those
    that are refused before all others; `untold` says how many more there are.
    """

    letters: str
    separator: str
    ignored: list[str]
    counts: dict[Kind, int]
    new_buyers: int
    new_dogs: int
    unplanned: int
    lines: list[LineOut]
    untold: int
    before: str = ""

    @property
    def good(self) -> bool:
        """Return whether the file can be brought in."""
        return not self.counts.get(Kind.REFUSED)

    @property
    def anything(self) -> bool:
        """Return whether it would change anything."""
        return any(self.counts.get(kind) for kind in (Kind.ORDER, Kind.DOG, Kind.BUYER))


class FileIn(Body):
    """A file to bring in, as text; `yarn` is the name of the yarn of lines that name none."""

    name: Line = Field(default="", examples=["orders.csv"])
    csv: Annotated[str, Field(max_length=4_000_000)]
    yarn: Line = ""


class BroughtState(StrEnum):
    """How far a file is."""

    WORKING = "working"
    LOOKED_AT = "looked at"
    DONE = "done"
    FAILED = "failed"


class BroughtOut(Out):
    """A file: how far it is, in lines; what went wrong; and what it would do or has done."""

    id: int
    state: BroughtState
    done: int
    whole: int
    wrong: str
    report: ReportOut | None
