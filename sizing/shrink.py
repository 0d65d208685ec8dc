"""What is believed of a factor, and how what was seen changes it.

A maker, a yarn and a hook use so much more or less than the model says: a factor. Its natural
logarithm is held as a normal distribution. Each finished hood shows the factor once, with an
error of known size; normal times normal is normal, so the update is closed form:

    precision = 1 / prior sd^2 + sum(1 / sd^2)
    mean      = (prior mean / prior sd^2 + sum(seen / sd^2)) / precision

With nothing seen the prior stands; with much seen it no longer matters: a shrinkage estimate.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import exp, log, sqrt
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived

MOST_OFF: Final = Fact(
    5.0, "times", derived("thrice the widest published disagreement, 1.6: a slip of the keys")
)


@dataclass(frozen=True, slots=True)
class Belief:
    """A factor: the mean and the standard deviation of its natural logarithm."""

    mean: float = 0.0
    sd: float = 0.0

    @property
    def factor(self) -> float:
        """Return the middle of the factor."""
        return exp(self.mean)


@dataclass(frozen=True, slots=True)
class Observation:
    """What the model said without any learned factor, what was found, and the error of that.

    Attributes:
        expected: what the model says at factor 1, in any unit.
        actual: what was found, in the same unit.
        sd: the standard deviation of the natural logarithm of `actual`, over 0.
    """

    expected: float
    actual: float
    sd: float

    def __post_init__(self) -> None:
        """Refuse what cannot be compared."""
        if not (self.expected > 0 and self.actual > 0 and self.sd > 0):
            raise ValueOutOfRangeError("actual", "An amount is more than nothing.")

    @property
    def seen(self) -> float:
        """Return the natural logarithm of the factor that was seen."""
        return log(self.actual / self.expected)

    @property
    def plausible(self) -> bool:
        """Return whether it can be true: a caller asks the maker before it learns from it."""
        return 1 / MOST_OFF.value <= self.actual / self.expected <= MOST_OFF.value


def _weighed(seen: Iterable[tuple[float, float]]) -> tuple[float, float]:
    """Return the precision of values with their variances, and their weighed sum."""
    precision = total = 0.0
    for value, variance in seen:
        precision += 1 / variance
        total += value / variance
    return precision, total


def learned(prior: Belief, observations: Iterable[Observation]) -> Belief:
    """Return what is believed after observations; their order does not matter."""
    if not prior.sd:
        return prior
    pairs = [(prior.mean, prior.sd**2), *((one.seen, one.sd**2) for one in observations)]
    precision, total = _weighed(pairs)
    return Belief(total / precision, sqrt(1 / precision))


def learned_among(
    prior: Belief,
    apart: float,
    groups: Mapping[str, tuple[Observation, ...]],
    own: str,
) -> Belief:
    """Return what is believed of one group, from its own observations and from the others'.

    A maker crochets tight or loose with every yarn; a yarn and hook differ by a little more.
    So the maker's factor is learned from the other groups, each counting once with its own
    error and with `apart`; from it the group's own factor is learned.

    Args:
        prior: of the maker, before anything was seen.
        apart: the standard deviation between a maker's groups (log of the factor), over 0.
        groups: observations by group, for example by yarn and hook.
        own: the group asked for; it may have none yet.
    """
    means = []
    for name, observations in groups.items():
        if name != own and observations:
            precision, total = _weighed((one.seen, one.sd**2) for one in observations)
            means.append((total / precision, apart**2 + 1 / precision))
    precision, total = _weighed([(prior.mean, prior.sd**2), *means])
    maker = Belief(total / precision, sqrt(1 / precision + apart**2))
    return learned(maker, groups.get(own, ()))
