"""What comes in and goes out about the bench."""

from datetime import UTC, datetime
from typing import Annotated, Final, Literal

from pydantic import AfterValidator, AwareDatetime, Field, StringConstraints
from pydantic_core import PydanticCustomError

from service.bench.step import Does
from service.fields import Body, Line
from service.planbodies import Out
from service.states import State
from service.workbodies import InHandIn
from sizing.rows import PartName

MOST_EVENTS: Final = 500
"""Events in one batch."""
FIRST_YEAR, LAST_YEAR = 2000, 2199


def _in_our_time(moment: datetime) -> datetime:
    """Refuse a moment that no phone has."""
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        message = "Set the clock of the phone: its year cannot be right"
        raise PydanticCustomError("moment", message)
    return moment.astimezone(UTC)


Uid = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9-]{8,64}$")]
Mark = Annotated[
    str,
    StringConstraints(pattern=r"^[A-Za-z0-9-]{0,64}$"),
    Field(description="the plan worked by; empty for the one in force when the event arrives"),
]
StepKey = Annotated[str, StringConstraints(pattern=r"^([pf][0-9a-z]{1,30})?$")]
Moment = Annotated[AwareDatetime, AfterValidator(_in_our_time)]


class EventIn(Body):
    """Something tapped: its own id makes it one event, however often it is sent."""

    id: Uid
    kind: Literal["done", "measured", "undo", "start", "pause"]
    plan: Mark = ""
    step: StepKey = ""
    at: Moment
    undoes: list[Uid] = Field(default=[], max_length=100)
    measured: Line = ""


class EventsIn(Body):
    """Events, in any order."""

    events: list[EventIn] = Field(max_length=MOST_EVENTS)


class PlaceIn(Body):
    """The work stands at a step: those before it are done, it and those after it are not."""

    id: Uid
    plan: Mark = ""
    step: StepKey


class FollowIn(Body):
    """The piece on the hook; the rest is worked as planned again from it."""

    id: Uid
    plan: Mark = ""
    piece: InHandIn


class StepOut(Out):
    """One step of the work, in words; `row` of `rows` is 0 where it is no row.

    `stitches` is the count after it, and `name` the part of the pattern.
    """

    key: str
    does: Does
    part: str
    head: str
    of: str
    side: str
    colour: str
    text: str
    count: str
    note: str
    brief: str
    row: int
    rows: int
    name: PartName | None
    stitches: int
    minutes: float


class MeasuredOut(Out):
    """What the tape said at a step; `near` is whether that is within the tolerance."""

    step: str
    name: str
    text: str
    mm: float
    shown: str
    due: str
    near: bool


class PaceOut(Out):
    """Stitches a minute, and the minutes they were measured over."""

    pace: float
    minutes: float


class StateOut(Out):
    """Where the work stands.

    The steps before `base` are done, and those in `done`, each with the events that say so; the
    first that is not is `at`. Minutes: `spent` by the clock, `untimed` reckoned at the maker's
    pace for what is done and was not timed, `left` for the rest. The clock stopped counting
    after `away` seconds without a tap.
    """

    number: str
    order_state: State
    version: int
    events: int
    plan: str
    base: int
    done: dict[str, tuple[str, ...]]
    at: str | None
    running: bool
    since: datetime | None
    away: float
    minutes_spent: float
    minutes_untimed: float
    minutes_left: float
    rows_untimed: int
    paces: dict[str, PaceOut]
    measured: list[MeasuredOut]
    notices: list[str]


class BenchOut(Out):
    """All the work of a hood, and where it stands."""

    dog: str
    steps: list[StepOut]
    state: StateOut


class AnswerOut(Out):
    """What became of a batch: events that are kept now, those refused and why, and the state."""

    kept: list[str]
    refused: dict[str, str]
    state: StateOut
