import pytest
from hypothesis import given, settings

from sizing.gauge import Gauge, Swatch, default_gauge
from sizing.machine import Replay
from sizing.material import sc_equivalents, swatch_stitches, yarn_need
from sizing.plan import Request, make_plan
from sizing.rows import Op
from sizing.yarns import WeightClass
from tests.sizing.builders import INCH, request, yarn
from tests.sizing.strategies import requests

MEDIUM = default_gauge(yarn())
TESTED = Gauge(12.5, 14.3, 12.5, 14.125, tested=True)


def sample(stitches: int) -> Replay:
    """Nothing but plain single crochet, as in a swatch."""
    return Replay(((Op.SC, stitches),), 0)


def worked_metres(stitches: int, gauge: Gauge, weight_class: WeightClass) -> tuple[float, float]:
    """The least and the most metres for single crochets, without tails and swatch."""
    thread = yarn(weight_class=weight_class)
    with_them = yarn_need(sample(stitches), thread, gauge, None).metres
    without = yarn_need(sample(0), thread, gauge, None).metres
    return with_them.low - without.low, with_them.high - without.high


def test_a_5_in_square_takes_what_a_hobbyist_unravelled() -> None:
    # One person's samples: worsted, 5 mm hook, 5 x 5 in of sc, 785.5 in of yarn (weak).
    side = 5 * INCH
    stitches = round(side / TESTED.stitch_mm * side / TESTED.row_mm)
    with_it = yarn_need(sample(stitches), yarn(), TESTED, None).metres.likely
    without = yarn_need(sample(0), yarn(), TESTED, None).metres.likely

    assert with_it - without == pytest.approx(785.5 * INCH / 1000, rel=0.02)


def test_the_published_figures_that_disagree_all_lie_in_the_interval() -> None:
    # The same person's single row: 53 in of yarn for 5 in. A seller's bulky: 70 mm an sc.
    row = 5 * INCH / TESTED.stitch_mm
    low, high = worked_metres(round(row * 100), TESTED, WeightClass.MEDIUM)
    assert low <= 53 * INCH / 1000 * 100 <= high * 1.01

    for stitches in (8, 9.5, 11):  # Craft Yarn Council: bulky, 8 to 11 sc to 10 cm
        bulky = Gauge(stitches, 10, stitches, 10, tested=True)
        low, high = worked_metres(100, bulky, WeightClass.BULKY)
        assert low * 0.99 <= 7.0 <= high


@given(requests())
@settings(max_examples=150)
def test_low_is_never_above_likely_or_likely_above_high(order: Request) -> None:
    need = make_plan(order).yarn

    assert 0 < need.metres.low <= need.metres.likely <= need.metres.high
    assert 0 < need.grams.low <= need.grams.likely <= need.grams.high
    assert 1 <= need.balls_likely <= need.balls_to_buy
    assert need.basis


@given(requests())
@settings(max_examples=100)
def test_grams_and_balls_follow_from_metres_by_the_ball_band(order: Request) -> None:
    need = make_plan(order).yarn
    band = order.yarn

    assert need.grams.likely == pytest.approx(
        need.metres.likely * band.ball_grams / band.ball_metres
    )
    assert (need.balls_to_buy - 1) * band.ball_metres < need.metres.high
    assert need.metres.high <= need.balls_to_buy * band.ball_metres * (1 + 1e-9)


def relative_width(order: Request) -> float:
    metres = make_plan(order).yarn.metres
    return (metres.high - metres.low) / metres.likely


def test_a_weighed_swatch_narrows_the_interval() -> None:
    counted = Swatch(12.5, 14.3, 12.5, 14.1)
    weighed = Swatch(12.5, 14.3, 12.5, 14.1, weighed_grams=20, weighed_stitches=570)

    assert relative_width(request(swatch=counted)) > 0.5
    assert relative_width(request(swatch=weighed)) < 0.21


def test_a_weighed_swatch_is_believed_by_the_stitch() -> None:
    # 20 g for 500 sc of a yarn of 200 m to 100 g: 8 cm a stitch.
    weighed = Swatch(12.5, 14.125, 12.5, 14.125, weighed_grams=20, weighed_stitches=500)
    some, none = (yarn_need(sample(n), yarn(), TESTED, weighed).metres.likely for n in (1000, 0))

    assert some - none == pytest.approx(80)


def test_an_untested_gauge_buys_the_yarn_for_its_swatches_too() -> None:
    swatch = Swatch(MEDIUM.rib_stitches, MEDIUM.rib_rows, MEDIUM.plain_stitches, MEDIUM.plain_rows)
    untested, tested = make_plan(request()).yarn, make_plan(request(swatch=swatch)).yarn

    assert untested.metres.likely > tested.metres.likely
    # two pieces of 15 cm: 18.75 stitches by 21.2 rows each
    assert swatch_stitches(MEDIUM) == pytest.approx(2 * 18.75 * 21.19, rel=0.001)


def test_a_wider_rib_stitch_takes_more_yarn_than_a_plain_one() -> None:
    wide = Gauge(10, 14, 12.5, 14, tested=True)
    strip = Replay(((Op.SC_BLO, 100),), 0)

    assert sc_equivalents(strip, wide) == pytest.approx(125)
    assert sc_equivalents(strip, TESTED) == pytest.approx(100)


def test_a_chain_takes_about_half_the_yarn_of_a_single_crochet() -> None:
    # The same samples: 25.5 in for a 5 in chain, 53 in for the row on it.
    assert sc_equivalents(Replay((), 100), TESTED) == pytest.approx(100 * 25.5 / 53, rel=0.01)
