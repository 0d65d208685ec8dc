"""Where the work stands, and how long it took: from all events, in whatever order they came."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import count

from service.bench.events import STEPPING, Event, Kind, taken_back


@dataclass(frozen=True, slots=True)
class Progress:
    """Where the work stands.

    Attributes:
        base: steps that are done because the work was said to stand after them.
        done: the events by which each further step is done, by its key.
        at: the place of the first step that is not done; one past the last if there is none.
    """

    base: int
    done: dict[str, tuple[str, ...]]
    at: int


def progress(events: Iterable[Event], plan: str, keys: Sequence[str], base: int = 0) -> Progress:
    """Return where the work stands.

    A step is done as long as one event says so that was not taken back. So two phones that tap
    the same row make one row, and what one takes back without knowing of the other's tap stays.

    Args:
        events: all of the order.
        plan: the mark of the plan in force.
        keys: of its steps, in order.
        base: steps made before that plan was followed.
    """
    known = list(events)
    struck = taken_back(known)
    places = {key: place for place, key in enumerate(keys)}
    found: defaultdict[str, list[str]] = defaultdict(list)
    for event in known:
        if event.plan != plan or event.uid in struck or event.step not in places:
            continue
        if event.kind in STEPPING:
            found[event.step].append(event.uid)
        elif event.kind is Kind.PLACE:
            base = max(base, places[event.step])
    done = {key: tuple(sorted(uids)) for key, uids in found.items() if places[key] >= base}
    at = next(n for n in count(base) if n >= len(keys) or keys[n] not in done)
    return Progress(base, done, at)


@dataclass(frozen=True, slots=True)
class Timed:
    """A step that was tapped, and the seconds it took; None where the clock did not run."""

    plan: str
    step: str
    seconds: float | None


@dataclass(slots=True)
class Clock:
    """The clock of one hood, wound by the events.

    Attributes:
        away: seconds without a tap after which nobody was at the bench.
        spent: seconds at the bench.
        since: the last tap, as long as the clock runs.
        timed: the steps that stand, in the order of their taps.
    """

    away: float
    spent: float = 0.0
    since: datetime | None = None
    timed: list[Timed] = field(default_factory=list)
    _carried: float = 0.0
    _broken: bool = False
    _struck: int = 0

    def _tick(self, at: datetime) -> None:
        """Count the time since the last tap, unless nobody was there."""
        if self.since is None:
            self._broken = True
            return
        gap = (at - self.since).total_seconds()
        if gap <= self.away:
            self.spent += gap
            self._carried += gap
        else:
            self._broken = True

    def wind(self, event: Event, *, struck: bool) -> None:
        """Let one event pass; they come in the order of their moments."""
        if event.kind is Kind.UNDO:
            return
        if event.kind is Kind.START and self.since is None:
            self.since = event.at
            return
        if event.kind is Kind.PAUSE and self.since is None:
            return
        self._tick(event.at)
        self.since = None if event.kind is Kind.PAUSE else event.at
        if event.kind in STEPPING:
            self._step(event, struck=struck)
        elif event.kind in {Kind.PLACE, Kind.FOLLOW}:
            self._broken = True

    def _step(self, event: Event, *, struck: bool) -> None:
        if struck:
            self._struck += 1
            return
        # One step taken back was a slip of the thumb; more were rows ripped out.
        sound = not self._broken and self._struck <= 1
        self.timed.append(Timed(event.plan, event.step, self._carried if sound else None))
        self._carried, self._broken, self._struck = 0.0, False, 0

    def running(self, now: datetime) -> bool:
        """Return whether it runs: started, and tapped not too long ago."""
        return self.since is not None and now - self.since <= timedelta(seconds=self.away)


def clock_of(events: Iterable[Event], away: float) -> Clock:
    """Return the clock after all events, which are taken in the order of their moments."""
    known = list(events)
    struck = taken_back(known)
    clock = Clock(away)
    for event in sorted(known, key=lambda one: (one.at, one.uid)):
        clock.wind(event, struck=event.uid in struck)
    return clock
