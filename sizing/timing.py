"""The maker's pace, from a stopwatch, and how a first of its kind takes longer."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import log2, sqrt
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived, memory, published
from sizing.shrink import Belief, Observation, learned_among

HAND_LEARNING: Final = Fact(
    0.80,
    "of the time for each doubling",
    published(
        "R. Stewart, Cost Estimator's Reference Manual, 2nd ed.: 75 % hand work, 25 % machine;"
        " nothing is published for hand craft, and an experienced maker learns less"
    ),
)
DEFAULT_LEARNING: Final = Fact(
    0.90,
    "of the time for each doubling",
    memory(
        "judgement: half-way between mostly hand work in a factory and no learning, for a maker"
        " knows the stitches of a new kind already"
    ),
)
SETTLED: Final = Fact(
    8, "pieces", memory("judgement: from the eighth of a kind on the maker's own pace holds")
)
LEAST_LEARNING: Final = Fact(
    0.5,
    "of the time for each doubling",
    derived("half the time at each doubling; published: 0.75 up"),
)
PACE_SD: Final = Fact(
    0.35, "log of the pace", derived("18 dc a minute and a champion's 33 lie 0.6 apart: two of it")
)
KINDS_APART: Final = Fact(
    0.15, "log of the pace", memory("judgement: one kind of stitch against a hand's others")
)
TIMING_SD: Final = Fact(
    0.10, "log of the pace", memory("judgement: a minute on the stopwatch, at one's natural pace")
)
HOOD_TIME_SD: Final = Fact(
    0.15, "log of the time", memory("judgement: the same hood twice, interruptions taken out")
)


@dataclass(frozen=True, slots=True)
class Timing:
    """Some stitches of one kind on the stopwatch; the kind is a field name of `Pace`."""

    kind: str
    stitches: int
    minutes: float

    def __post_init__(self) -> None:
        """Refuse a timing that shows no pace."""
        if self.stitches < 1 or not self.minutes > 0:
            raise ValueOutOfRangeError("minutes", "Time one stitch at least, over some time.")


def learned_paces(start: Mapping[str, float], timings: Iterable[Timing]) -> dict[str, float]:
    """Return stitches per minute by kind, from the start values and what was timed.

    Who is quick in one kind is quick in the others, by a little more or less. A longer timing
    counts for more, as the root of its minutes.
    """
    seen: dict[str, list[Observation]] = defaultdict(list)
    for one in timings:
        if one.kind not in start:
            raise ValueOutOfRangeError("kind", "There is no pace of this kind.")
        pace = one.stitches / one.minutes
        seen[one.kind].append(
            Observation(start[one.kind], pace, TIMING_SD.value / sqrt(one.minutes))
        )
    groups = {kind: tuple(observations) for kind, observations in seen.items()}
    prior = Belief(0.0, PACE_SD.value)
    return {
        kind: pace * learned_among(prior, KINDS_APART.value, groups, kind).factor
        for kind, pace in start.items()
    }


def hood_time_observation(model_minutes: float, actual_minutes: float) -> Observation:
    """Return what a finished hood says of the maker's time.

    Args:
        model_minutes: the work without rest at factor 1 (`Labour.model_minutes`).
        actual_minutes: what it took, rest and interruptions taken out.
    """
    return Observation(model_minutes, actual_minutes, HOOD_TIME_SD.value)


def learning_factor(made_before: int, rate: float) -> float:
    """Return the time for the next of a kind against the maker's settled pace.

    Wright 1936: the n-th takes n ^ log2(rate) of the first. The pace that the maker timed is
    that of kinds long known, so it is the settled piece that has factor 1, not the first.

    Args:
        made_before: pieces of this kind made so far.
        rate: of the time, for each doubling of the number made; 1 for no learning.
    """
    number = min(made_before + 1, SETTLED.value)
    return float((number / SETTLED.value) ** log2(rate))
