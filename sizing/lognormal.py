"""Amounts that cannot be below nothing: the lognormal distribution, in closed form.

Yarn and time err by a factor, not by a sum: half as much again is as likely as two thirds.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import erf, exp, log, sqrt
from statistics import NormalDist
from typing import Final

from sizing.evidence import Fact, derived

USUAL: Final = Fact(
    0.80, "share of cases", derived("the interval that is shown: 8 of 10 lie in it")
)
WIDE: Final = Fact(0.95, "share of cases", derived("the wide interval: 19 of 20 lie in it"))


@lru_cache
def quantile_of(coverage: float) -> float:
    """Return how many standard deviations hold a share of cases, as many on either side."""
    return NormalDist().inv_cdf((1 + coverage) / 2)


USUAL_Z: Final = quantile_of(USUAL.value)
WIDE_Z: Final = quantile_of(WIDE.value)


@dataclass(frozen=True, slots=True)
class Lognormal:
    """A lognormal amount.

    Attributes:
        middle: the median, in the amount's own unit.
        sd: the standard deviation of its natural logarithm, no unit.
    """

    middle: float
    sd: float

    def at(self, z: float) -> float:
        """Return the amount that lies `z` standard deviations above the middle."""
        return self.middle * exp(z * self.sd)

    def below(self, amount: float) -> float:
        """Return the probability of no more than an amount."""
        if not self.sd:
            return float(amount >= self.middle)
        return (1 + erf(log(amount / self.middle) / (self.sd * sqrt(2)))) / 2


def fitted(mean: float, variance: float) -> Lognormal:
    """Return the lognormal with a mean and a variance.

    A sum of lognormals is no lognormal, but near one (Fenton 1960, The Sum of Log-Normal
    Probability Distributions); `docs/yarn-and-price.md` shows how near.
    """
    square = log(1 + variance / (mean * mean))
    return Lognormal(mean * exp(-square / 2), sqrt(square))
