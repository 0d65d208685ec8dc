"""Balls and intervals: the chances that are told, against draws and against scipy."""

from collections.abc import Iterator
from functools import cache, partial
from math import log, sqrt

import numpy as np
from scipy.optimize import brentq
from scipy.stats import lognorm, norm

from sizing.balls import least_balls
from sizing.consumption import added, amount_of, by_part
from sizing.lognormal import USUAL_Z, WIDE_Z, Lognormal, fitted, quantile_of
from sizing.shrink import Belief, Observation, learned
from sizing.strand import prior_of, sc_mm
from tests.sizing.builders import yarn
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check, Within
from tests.sizing.test_yarn_coverage import GAUGE, HOOD, Floats, drawn, inside

PRIOR = prior_of(GAUGE, yarn())
AMOUNT = Lognormal(60.0, 0.25)
SEEN = (Observation(50, 62, 0.08), Observation(40, 45, 0.12))
BELIEF = Belief(0.0, 0.25)
DRAWS = 200_000


def _strands() -> dict[str, float]:
    return added(by_part(HOOD, GAUGE, sc_mm(GAUGE, yarn())).values())


@cache
def hoods() -> Floats:
    """Metres of yarn in 200,000 hoods of makers who measured nothing."""
    return drawn(_strands(), PRIOR, seed=19) / 1000


@cache
def told() -> Lognormal:
    amount = amount_of(_strands(), PRIOR)
    return Lognormal(amount.middle / 1000, amount.sd)


def _inside(z: float) -> float:
    return inside(hoods(), told().at(-z), told().at(z))


def _said(z: float) -> float:
    """The share of hoods that we say lies between the ends of the interval."""
    return told().below(told().at(z)) - told().below(told().at(-z))


def _suffice(ball_metres: float) -> float:
    balls = least_balls(told(), ball_metres, 0.05).balls
    return inside(hoods(), 0, balls * ball_metres)


def _told_to_suffice(ball_metres: float) -> float:
    return least_balls(told(), ball_metres, 0.05).suffices


def _below() -> Iterator[float]:
    theirs = lognorm(AMOUNT.sd, scale=AMOUNT.middle)
    for amount in (20, 45, 60, 75, 90, 140):
        yield abs(AMOUNT.below(amount) - float(theirs.cdf(amount)))


def _at() -> Iterator[float]:
    theirs = lognorm(AMOUNT.sd, scale=AMOUNT.middle)
    for z in (-2.0, -1.0, 0.0, 0.5, 1.645):
        yield abs(AMOUNT.at(z) / float(theirs.ppf(norm.cdf(z))) - 1)


@cache
def _solved() -> tuple[float, float]:
    """Median and log sd of the lognormal whose mean and variance scipy finds to be 10 and 4."""

    def off(sd: float) -> float:
        mean, variance = lognorm(sd).stats("mv")
        return float(variance / mean**2) - 4 / 10**2

    sd = float(brentq(off, 0.01, 1, xtol=1e-14))
    return 10 / float(lognorm(sd).mean()), sd


@cache
def _posterior() -> tuple[float, float]:
    """Mean and sd of the factor's log, by brute force on a fine grid."""
    grid = np.linspace(-1, 1, 200_001)
    weight = norm.logpdf(grid, BELIEF.mean, BELIEF.sd)
    for one in SEEN:
        weight = weight + norm.logpdf(log(one.actual / one.expected), grid, one.sd)
    share = np.exp(weight - weight.max())
    share /= share.sum()
    mean = float((grid * share).sum())
    return mean, sqrt(float(((grid - mean) ** 2 * share).sum()))


_DRAWN = Within(0.005, why="the draws' own error, and a sum taken for a lognormal")
_COVER = "test_yarn_coverage.py::"

CHECKS = (
    Check("interval-80", "Hoods in our interval of 8 in 10, nothing measured", sources.DRAWS,
          lambda: _inside(USUAL_Z), lambda: _said(USUAL_Z), "of hoods", _DRAWN, digits=3,
          also=f"{_COVER}test_8_of_10_and_19_of_20_hoods_lie_in_their_intervals"),
    Check("interval-95", "Hoods in our interval of 19 in 20", sources.DRAWS,
          lambda: _inside(WIDE_Z), lambda: _said(WIDE_Z), "of hoods", _DRAWN, digits=3,
          also=f"{_COVER}test_8_of_10_and_19_of_20_hoods_lie_in_their_intervals"),
    Check("middle", "Middle of the yarn in a hood", sources.DRAWS,
          lambda: float(np.median(hoods())), lambda: told().middle, "m", Within(share=0.005),
          digits=3),
    *(
        Check(
            f"balls-{metres}",
            f"Balls of {metres} m that we say to buy: how often they suffice",
            sources.DRAWS,
            partial(_suffice, metres),
            partial(_told_to_suffice, metres),
            "of hoods",
            _DRAWN,
            also=f"{_COVER}test_the_balls_bought_suffice_as_often_as_said",
            digits=3,
        )
        for metres in (20, 50, 85)
    ),
    Check("lognormal-below", "Chance that an amount suffices, six amounts: the farthest off",
          sources.SCIPY, 0.0, lambda: max(_below()), "probability"),
    Check("lognormal-at", "Amount at a chance, five chances: the farthest off", sources.SCIPY,
          0.0, lambda: max(_at()), "of the amount"),
    Check("quantile-80", "Standard deviations that hold 8 in 10", sources.SCIPY,
          lambda: float(norm.ppf(0.9)), lambda: quantile_of(0.80), "sd", digits=6),
    Check("quantile-95", "Standard deviations that hold 19 in 20", sources.SCIPY,
          lambda: float(norm.ppf(0.975)), lambda: quantile_of(0.95), "sd", digits=6),
    Check("fitted-middle", "Median of a lognormal of mean 10 and variance 4", sources.SOLVER,
          lambda: _solved()[0], lambda: fitted(10, 4).middle, "m"),
    Check("fitted-sd", "Its sd, of the log", sources.SOLVER,
          lambda: _solved()[1], lambda: fitted(10, 4).sd, "log"),
    Check("learned-mean", "What two finished hoods teach: mean of the factor's log",
          sources.SCIPY, lambda: _posterior()[0], lambda: learned(BELIEF, SEEN).mean, "log",
          Within(1e-6, why="the grid"),
          also="test_shrink.py::test_it_is_the_middle_of_what_a_sampler_finds"),
    Check("learned-sd", "The same: how sure it then is", sources.SCIPY,
          lambda: _posterior()[1], lambda: learned(BELIEF, SEEN).sd, "log",
          Within(1e-6, why="the grid"),
          also="test_shrink.py::test_it_is_the_middle_of_what_a_sampler_finds"),
)  # fmt: skip
