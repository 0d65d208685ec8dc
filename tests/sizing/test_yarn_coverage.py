"""The intervals hold what they say they hold: drawn, not derived.

The draws add up each piece of yarn with its own error, as the model says it is made; nothing of
the closed form is used. Fixed seeds.
"""

from collections.abc import Iterator
from math import log, sqrt

import numpy as np
import pytest

from sizing.balls import least_balls
from sizing.calibrate import BAND_SD, HOOD_SD, ONE_STITCH_SD, SCALE_SD, STRAIGHTENED_SD, SWATCH_SD
from sizing.consumption import added, amount_of, by_part
from sizing.gauge import Gauge, Swatch
from sizing.lognormal import USUAL_Z, WIDE_Z, Lognormal, fitted
from sizing.material import YarnNeed, yarn_need
from sizing.pieces import Piece, pieces_made
from sizing.plan import make_plan
from sizing.rows import Op
from sizing.shrink import Belief, Observation, learned
from sizing.strand import prior_of, sc_mm
from tests.sizing.builders import request, yarn

Floats = np.ndarray[tuple[int], np.dtype[np.float64]]
GAUGE = Gauge(12.5, 14.3, 12.5, 14.1, tested=True)
MADE = make_plan(request(swatch=Swatch(12.5, 14.3, 12.5, 14.1))).made
HOOD = pieces_made(MADE)
TOY = (
    Piece("collar", ((Op.SC_BLO, 90),), chains=6, ends=2, rib=True),
    Piece("hood", ((Op.SC, 150), (Op.DEC, 20)), ends=6),
)
STRIPED = (*HOOD, Piece("stripe", ((Op.SC, 300),), ends=12, colour="red"))
# Error of each share as a standard deviation of its log; a copy, so that a slip shows.
ERRORS = {
    "sc": 0.0,
    "sc_blo": 0.1,
    "dec": 0.1,
    "sl_st": 0.25,
    "chain": 0.1,
    "whip": 0.25,
    "tail": 0.2,
}
LOOSE = {"whip", "tail"}
DRAWS = 200_000


def drawn(strands: dict[str, float], belief: Belief, seed: int) -> Floats:
    """Millimetres of yarn in so many hoods of makers of whom this is believed."""
    rng = np.random.default_rng(seed)
    factor = np.exp(
        rng.normal(belief.mean, belief.sd, DRAWS) + rng.normal(0, HOOD_SD.value, DRAWS)
    )
    total = np.zeros(DRAWS)
    for use, mm in strands.items():
        error = np.exp(rng.normal(0, ERRORS[use], DRAWS))
        total += mm * error * (1 if use in LOOSE else factor)
    return total


def inside(amounts: Floats, low: float, high: float) -> float:
    return float(np.mean((low <= amounts) & (amounts <= high)))


BELIEFS = {
    "nothing measured": prior_of(GAUGE, yarn()),
    "an odd yarn": prior_of(GAUGE, yarn(grams=1000)),
    "a weighed swatch": Belief(0.2, 0.06),
    "known well": Belief(-0.1, 0.02),
}


@pytest.mark.parametrize("pieces", [HOOD, TOY, STRIPED], ids=["hood", "toy", "striped"])
@pytest.mark.parametrize("name", BELIEFS)
def test_8_of_10_and_19_of_20_hoods_lie_in_their_intervals(
    name: str, pieces: tuple[Piece, ...]
) -> None:
    strands = added(by_part(pieces, GAUGE, sc_mm(GAUGE, yarn())).values())
    found = amount_of(strands, BELIEFS[name])
    hoods = drawn(strands, BELIEFS[name], seed=11)

    assert inside(hoods, found.at(-USUAL_Z), found.at(USUAL_Z)) == pytest.approx(0.80, abs=0.005)
    assert inside(hoods, found.at(-WIDE_Z), found.at(WIDE_Z)) == pytest.approx(0.95, abs=0.004)
    assert inside(hoods, 0, found.middle) == pytest.approx(0.50, abs=0.006)


@pytest.mark.parametrize("name", BELIEFS)
@pytest.mark.parametrize("ball_metres", [20, 37, 50, 85])
def test_the_balls_bought_suffice_as_often_as_said(name: str, ball_metres: float) -> None:
    strands = added(by_part(HOOD, GAUGE, sc_mm(GAUGE, yarn())).values())
    found = amount_of(strands, BELIEFS[name])
    metres = Lognormal(found.middle / 1000, found.sd)
    hoods = drawn(strands, BELIEFS[name], seed=13) / 1000
    buy = least_balls(metres, ball_metres, 0.05)

    assert inside(hoods, 0, buy.balls * ball_metres) == pytest.approx(buy.suffices, abs=0.005)
    assert buy.suffices >= 0.95
    assert metres.below((buy.balls - 1) * ball_metres) < 0.95 if buy.balls > 1 else True


def cases(*, hoods: int, makers: int = 3000) -> Iterator[tuple[float, YarnNeed]]:
    """True metres and what was said of them: makers who unravel, weigh and have made hoods."""
    rng = np.random.default_rng(17)
    ball = yarn()
    expected = sc_mm(GAUGE, ball)[0]
    strands = added(by_part(HOOD, GAUGE, sc_mm(GAUGE, ball)).values())
    for _ in range(makers):
        truth = rng.normal(0, prior_of(GAUGE, ball).sd)
        swatch = expected * np.exp(truth + rng.normal(0, SWATCH_SD.value))
        weighed = swatch / 1000 * ball.grams_per_metre * 500  # grams of 500 stitches
        error = rng.normal(0, sqrt(BAND_SD.value**2 + (SCALE_SD.value / weighed) ** 2))
        spread = sqrt(STRAIGHTENED_SD.value**2 + ONE_STITCH_SD.value**2 / 20)
        made = [
            Observation(50, 50 * float(np.exp(truth + rng.normal(0, 0.06))), 0.06)
            for _ in range(hoods)
        ]
        said = yarn_need(
            MADE,
            ball,
            GAUGE,
            Swatch(
                12.5, 14.3, 12.5, 14.1,
                weighed_grams=float(weighed * np.exp(error)), weighed_stitches=500,
                unravelled_mm=float(20 * swatch * np.exp(rng.normal(0, spread))),
                unravelled_stitches=20,
            ),
            finished=learned(prior_of(GAUGE, ball), made) if made else None,
        )  # fmt: skip
        factor = float(np.exp(truth + rng.normal(0, HOOD_SD.value)))
        metres = sum(
            mm * float(np.exp(rng.normal(0, ERRORS[use]))) * (1 if use in LOOSE else factor)
            for use, mm in strands.items()
        )
        yield metres / 1000, said


@pytest.mark.parametrize("hoods", [0, 4])
def test_the_intervals_hold_from_the_swatch_to_the_hood(hoods: int) -> None:
    usual = wide = width = 0.0
    found = list(cases(hoods=hoods))
    for metres, said in found:
        assert said.metres_95
        usual += said.metres.low <= metres <= said.metres.high
        wide += said.metres_95.low <= metres <= said.metres_95.high
        width += log(said.metres.high / said.metres.low)

    assert usual / len(found) == pytest.approx(0.80, abs=0.02)
    assert wide / len(found) == pytest.approx(0.95, abs=0.012)
    assert width / len(found) < 0.25


def test_a_fitted_lognormal_has_the_mean_and_the_variance() -> None:
    found = fitted(10, 4)
    rng = np.random.default_rng(3)
    amounts = found.middle * np.exp(rng.normal(0, found.sd, DRAWS))

    assert float(amounts.mean()) == pytest.approx(10, rel=0.003)
    assert float(amounts.var()) == pytest.approx(4, rel=0.02)


def test_without_error_an_amount_is_what_it_is() -> None:
    sure = Lognormal(5, 0)

    assert (sure.below(4.99), sure.below(5)) == (0, 1)
    assert sure.at(WIDE_Z) == 5
