"""The maker's time: hours by weekday, days off, days in the post, and the promise it gives."""

from datetime import date
from typing import Annotated, Final, Self

from pydantic import Field, model_validator

from service.fields import Body
from service.planbodies import Out

WEEKDAYS: Final = (
    "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday",
)  # fmt: skip
MOST_OFF: Final = 200
Hours = Annotated[float, Field(ge=0, le=24, allow_inf_nan=False, examples=[2.5])]


class HoursIn(Body):
    """Hours at the hook on each weekday; all 0 for not told yet."""

    monday: Hours = 0
    tuesday: Hours = 0
    wednesday: Hours = 0
    thursday: Hours = 0
    friday: Hours = 0
    saturday: Hours = 0
    sunday: Hours = 0


class DaysOff(Body):
    """Days without work, from the first to the last; one day is both."""

    first: date
    last: date

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        """Refuse days that end before they begin."""
        if self.last < self.first:
            message = "Days off end before they begin"
            raise ValueError(message)
        return self


class CapacityIn(Body):
    """The maker's time, for promised dates."""

    hours: HoursIn = HoursIn()
    off: list[DaysOff] = Field(default=[], max_length=MOST_OFF)
    posting: Annotated[int, Field(ge=0, le=60)] = 3


class PromiseOut(Out):
    """When a hood can be with its buyer: likely, and safely (9 in 10).

    A day is null where it is more than three years off or the shop has no hours. `late` says
    that the likely day is past the due one, `near` that only the safe one is.
    """

    number: str
    dog: str
    due: date | None
    likely: date | None
    safe: date | None
    minutes: float
    begun: bool
    late: bool
    near: bool


class SlipOut(Out):
    """An order whose day moves back; `breaks` where its due date is then missed."""

    number: str
    dog: str
    due: date | None
    before: date | None
    after: date | None
    breaks: bool


class QueueOut(Out):
    """The hoods to make, in the order they are worked on; `known` where the shop has hours."""

    known: bool
    queue: list[PromiseOut]


class TrialIn(Body):
    """A hood that is not taken yet: its minutes, or none for a usual one; and its due date."""

    minutes: Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False)] | None = None
    safe_minutes: Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False)] | None = None
    due: date | None = None


class TrialOut(Out):
    """When one more hood could be with its buyer, and whose day it moves back."""

    known: bool
    likely: date | None
    safe: date | None
    minutes: float | None
    late: bool
    near: bool
    slips: list[SlipOut]
