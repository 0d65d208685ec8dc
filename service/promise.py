"""When a hood can be promised: the queue worked through in the hours there are.

Values in, values out. A day's hours are worked on the first hoods of the queue; what they leave
goes to the next. Today's hours are not counted: nobody knows how many of them are left.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

LONGEST: Final = 3 * 366
"""Days that a queue is worked through; what is not done then has no date."""
_DAY: Final = timedelta(days=1)
_LEAST: Final = 1e-6
"""Minutes that are only the last digits of a float."""


@dataclass(frozen=True, slots=True)
class Capacity:
    """The maker's time.

    Attributes:
        minutes: for each weekday, Monday first.
        off: days off, as first and last day.
        posting: days from the finished hood to its buyer.
    """

    minutes: tuple[float, float, float, float, float, float, float]
    off: tuple[tuple[date, date], ...] = ()
    posting: int = 0

    def on(self, day: date) -> float:
        """Return the minutes of a day."""
        if any(first <= day <= last for first, last in self.off):
            return 0.0
        return self.minutes[day.weekday()]


@dataclass(frozen=True, slots=True)
class Work:
    """A hood to make.

    Attributes:
        key: the order's number; empty for one that is asked for only now.
        likely, safe: minutes, as often more as less, and with 9 in 10 no more.
        due: the day that was promised.
        begun: whether it is on the hook.
        parcel: what hoods that are sent as one share; empty for one that goes alone.
    """

    key: str
    likely: float
    safe: float
    due: date | None = None
    begun: bool = False
    parcel: str = ""


@dataclass(frozen=True, slots=True)
class Promise:
    """When a hood can be with its buyer; None for not within three years, or never."""

    key: str
    likely: date | None
    safe: date | None
    due: date | None = None

    @property
    def late(self) -> bool:
        """Return whether the likely day is past the one that was promised."""
        return _past(self.likely, self.due)

    @property
    def near(self) -> bool:
        """Return whether only the safe day is past the one that was promised."""
        return _past(self.safe, self.due) and not self.late


@dataclass(frozen=True, slots=True)
class Spell:
    """The days on which a hood is likely worked on, from the first to the last."""

    key: str
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Slip:
    """An order whose day moves back because of another."""

    key: str
    before: Promise
    after: Promise

    @property
    def breaks(self) -> bool:
        """Return whether a promised day is kept before and not after."""
        return self.after.late and not self.before.late


def _past(day: date | None, due: date | None) -> bool:
    return due is not None and (day is None or day > due)


def queue_of(works: Iterable[Work]) -> tuple[Work, ...]:
    """Return hoods in the order they are worked on: begun, then by due date, then as given."""
    return tuple(sorted(works, key=lambda one: (not one.begun, one.due or date.max)))


def _worked_off(totals: Sequence[float], capacity: Capacity, today: date) -> list[date | None]:
    """Return the days on which rising totals of minutes are worked off."""
    found: list[date | None] = []
    worked, day, last = 0.0, today, today + LONGEST * _DAY
    for total in totals:
        while worked < total - _LEAST and day < last:
            day += _DAY
            worked += capacity.on(day)
        found.append(day if worked >= total - _LEAST else None)
    return found


def _days(totals: Sequence[float], capacity: Capacity, today: date) -> list[date | None]:
    """Return the days on which what is worked off then is with its buyer."""
    post = capacity.posting * _DAY
    return [day + post if day else None for day in _worked_off(totals, capacity, today)]


def spells(works: Iterable[Work], capacity: Capacity, today: date) -> tuple[Spell, ...]:
    """Return when each hood is likely on the hook, in the order of the queue."""
    queue = queue_of(works)
    ends = _running(one.likely for one in queue)
    # A hood begins on the day that holds its first minute, not on the last of the one before.
    starts = [
        end - one.likely + min(1.0, one.likely) for one, end in zip(queue, ends, strict=True)
    ]
    days = zip(
        queue,
        _worked_off(starts, capacity, today),
        _worked_off(ends, capacity, today),
        strict=True,
    )
    return tuple(Spell(one.key, first, last) for one, first, last in days if first and last)


def _running(minutes: Iterable[float]) -> list[float]:
    total, found = 0.0, []
    for one in minutes:
        total += one
        found.append(total)
    return found


def _sent(queue: Sequence[Work], days: Sequence[date | None]) -> list[date | None]:
    """Return the days of hoods when each waits for all of its parcel."""
    last: dict[str, date] = {}
    for one, day in zip(queue, days, strict=True):
        parcel = one.parcel or one.key
        last[parcel] = max(last.get(parcel, date.min), day or date.max)
    ends = (last[one.parcel or one.key] for one in queue)
    return [None if day == date.max else day for day in ends]


def promises(works: Iterable[Work], capacity: Capacity, today: date) -> tuple[Promise, ...]:
    """Return when each hood can be with its buyer, in the order of the queue.

    The safe day takes the safe time of every hood before it: one hand that is slow with the
    first is slow with all, so that errors do not cancel. A hood that is sent with others waits
    for the last of them.
    """
    queue = queue_of(works)
    likely = _sent(queue, _days(_running(one.likely for one in queue), capacity, today))
    safe = _sent(queue, _days(_running(one.safe for one in queue), capacity, today))
    return tuple(
        Promise(one.key, *days, one.due)
        for one, days in zip(queue, zip(likely, safe, strict=True), strict=True)
    )


def promise_for(
    new: Work, works: Sequence[Work], capacity: Capacity, today: date, along: Sequence[Work] = ()
) -> tuple[Promise, tuple[Slip, ...]]:
    """Return when one more hood can be with its buyer, and whose day moves back by it.

    Args:
        new: the hood; with a due date it goes before those that are due later.
        works: those there are; one under the same key is this hood as it stands, and moves.
        capacity: the maker's time.
        today: the day it is asked on.
        along: more hoods that come with it, and are not among those there are.
    """
    before = {one.key: one for one in promises(works, capacity, today)}
    # One that is there keeps its place: among hoods that are due on one day it counts.
    stay = {one.key: one for one in works} | {new.key: new}
    after = promises([*stay.values(), *along], capacity, today)
    mine = next(one for one in after if one.key == new.key)
    slips = tuple(
        Slip(one.key, before[one.key], one)
        for one in after
        if one.key != new.key and one.key in before and _later(one, before[one.key])
    )
    return mine, slips


def _later(after: Promise, before: Promise) -> bool:
    """Return whether a day moves back; one that moves forward harms nobody."""
    pairs = ((after.likely, before.likely), (after.safe, before.safe))
    return any((now or date.max) > (then or date.max) for now, then in pairs)
