"""The maker's own pace on a hood, and what the rest will take at it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Final

from service.bench.fold import Timed
from service.bench.step import Step
from sizing.rates import Pace, Rates
from sizing.timing import Timing, learned_paces

QUICK: Final = 0.25
"""Share of the reckoned time below which a row was tapped late, together with the one before."""
SLOW: Final = 4.0
"""Times the reckoned time above which something else was done meanwhile."""
LEAST_MINUTES: Final = 5.0
"""Minutes of one kind of stitch that are enough to speak of a pace."""
_SECONDS: Final = 60


@dataclass(frozen=True, slots=True)
class Own:
    """A pace that was measured: stitches a minute, and the minutes it was measured over."""

    pace: float
    minutes: float


def _runs(rows: Iterable[tuple[Step, float]]) -> Iterable[tuple[list[Step], float]]:
    """Yield rows with the minutes they took, those that were tapped together as one."""
    steps: list[Step] = []
    minutes = 0.0
    for step, seconds in rows:
        if seconds / _SECONDS >= QUICK * step.minutes and steps:
            yield steps, minutes
            steps, minutes = [], 0.0
        steps.append(step)
        minutes += seconds / _SECONDS
    if steps:
        yield steps, minutes


def timings_of(timed: Iterable[Timed], steps: Mapping[tuple[str, str], Step]) -> list[Timing]:
    """Return what the clock says of each kind of stitch.

    A row with stitches of several kinds counts for each of them with its share of the time. The
    turning of the work is part of the time, and of what was reckoned, so it makes no pace.

    Args:
        timed: the steps that were tapped.
        steps: by plan and key.
    """
    rows = [
        (step, one.seconds)
        for one in timed
        if one.seconds is not None
        and (step := steps.get((one.plan, one.step))) is not None
        and step.row
        and step.minutes
    ]
    counts: defaultdict[str, int] = defaultdict(int)
    minutes: defaultdict[str, float] = defaultdict(float)
    for run, took in _runs(rows):
        factor = took / sum(step.minutes for step in run)
        if not QUICK <= factor <= SLOW:
            continue
        for step in run:
            for work in step.work:
                counts[work.kind] += work.number
                minutes[work.kind] += work.minutes * factor
    return [Timing(kind, number, minutes[kind]) for kind, number in counts.items()]


def own_paces(timings: Iterable[Timing], pace: Pace) -> dict[str, Own]:
    """Return the paces that were measured for long enough, weighed against the set ones."""
    known = list(timings)
    learned = learned_paces(asdict(pace), known)
    took: defaultdict[str, float] = defaultdict(float)
    for one in known:
        took[one.kind] += one.minutes
    return {
        kind: Own(learned[kind], minutes)
        for kind, minutes in took.items()
        if minutes >= LEAST_MINUTES
    }


def at_own_pace(rates: Rates, timings: Iterable[Timing]) -> Rates:
    """Return the rates with the pace that was measured in the place of the set one."""
    return replace(rates, pace=Pace(**learned_paces(asdict(rates.pace), timings)))


def minutes_at(step: Step, own: Pace) -> float:
    """Return what a step takes at another pace than the one it was reckoned with."""
    more = sum(one.number / getattr(own, one.kind) - one.minutes for one in step.work)
    return float(step.minutes + more)
