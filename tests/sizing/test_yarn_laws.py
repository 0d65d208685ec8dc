"""Yarn in strands, by part and colour: it adds up, scales, and is as sure as it says."""

from math import log

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import lognorm, norm

from sizing.balls import SURE, chance, least_balls
from sizing.consumption import added, metres_of, second_way, strands_of
from sizing.lognormal import USUAL_Z, WIDE_Z, Lognormal, quantile_of
from sizing.machine import replay
from sizing.material import Spread, yarn_need
from sizing.pattern import pattern_of
from sizing.pieces import Piece
from sizing.rows import Op
from sizing.shrink import Belief
from sizing.strand import sc_mm
from tests.sizing.builders import row_plan, yarn
from tests.sizing.strategies import reals
from tests.sizing.test_variants import GAUGE

WOOL = yarn()


def test_the_shown_intervals_are_those_of_a_normal_table() -> None:
    # Any table of the standard normal: 90 % lie below 1.2816, 97.5 % below 1.9600.
    assert pytest.approx(1.2816, abs=5e-5) == USUAL_Z
    assert pytest.approx(1.9600, abs=5e-5) == WIDE_Z
    assert quantile_of(0.5) == pytest.approx(0.6745, abs=5e-5)


@given(reals(1.0, 900.0), reals(0.01, 0.8), reals(-3.0, 3.0))
def test_a_lognormal_is_the_one_of_a_statistics_library(
    middle: float, sd: float, z: float
) -> None:
    ours, theirs = Lognormal(middle, sd), lognorm(s=sd, scale=middle)

    assert ours.at(z) == pytest.approx(theirs.ppf(norm.cdf(z)))
    assert ours.below(ours.at(z)) == pytest.approx(theirs.cdf(ours.at(z)), abs=1e-9)


@given(reals(20.0, 3000.0), reals(0.02, 0.7), reals(4.0, 200.0), reals(0.005, 0.2))
def test_one_ball_less_would_run_short_too_often(
    middle: float, sd: float, ball: float, short: float
) -> None:
    metres = Lognormal(middle, sd)
    found = least_balls(metres, ball, short)

    assert found.suffices == chance(metres, ball, found.balls) >= 1 - short
    if found.balls > 1:
        assert chance(metres, ball, found.balls - 1) < 1 - short + 1e-9


@given(st.lists(st.dictionaries(st.sampled_from(["sc", "dec", "whip"]), reals(0.0, 1e5))))
def test_strands_add_up_use_by_use(parts: list[dict[str, float]]) -> None:
    whole = added(parts)

    for use in ("sc", "dec", "whip"):
        due = sum(part.get(use, 0.0) for part in parts)
        assert whole.get(use, 0.0) == pytest.approx(due)


def test_a_chain_takes_about_half_the_yarn_of_a_single_crochet_in_a_piece_too() -> None:
    # tests/sizing/test_strand.py names the sources of the half.
    sc = sc_mm(GAUGE, WOOL)
    chained = strands_of(Piece("hood", (), chains=100), GAUGE, sc)
    worked = strands_of(Piece("hood", counts=((Op.SC, 100),)), GAUGE, sc)

    assert 0.35 < sum(chained.values()) / sum(worked.values()) < 0.65


def test_a_hood_of_twice_the_work_takes_twice_the_metres_by_either_way() -> None:
    sc = sc_mm(GAUGE, WOOL)
    once = Piece("hood", counts=((Op.SC, 900), (Op.DEC, 32)))
    twice = Piece("hood", counts=((Op.SC, 1800), (Op.DEC, 64)))
    strands = [strands_of(piece, GAUGE, sc) for piece in (once, twice)]
    one, two = (metres_of(found, Belief()).middle for found in strands)
    areas = [
        second_way([piece], GAUGE, WOOL, found).middle
        for piece, found in zip((once, twice), strands, strict=True)
    ]

    assert two == pytest.approx(2 * one, rel=1e-3)
    assert areas[1] == pytest.approx(2 * areas[0])
    # Both are metres: a sc in medium yarn takes a few centimetres.
    assert 10 < one < 100
    assert abs(log(one / areas[0])) < 0.5


@given(reals(0.1, 10.0), reals(0.01, 100.0))
def test_a_spread_in_another_unit_is_the_same_spread(likely: float, factor: float) -> None:
    spread = Spread(likely / 2, likely, likely * 2)
    other = spread.times(factor)

    assert other.likely == pytest.approx(likely * factor)
    assert other.likely / other.low == pytest.approx(2)
    assert other.high / other.likely == pytest.approx(2)


@pytest.mark.parametrize("many", [1, 2, 3, 4])
def test_a_hood_of_many_colours_runs_short_no_more_often_than_one_of_one(many: int) -> None:
    names = ("cream", "rust", "green", "blue")[:many]
    pieces = [Piece("hood", ((Op.SC, 500), (Op.DEC, 20)), ends=2, colour=name) for name in names]
    made = replay(pattern_of(row_plan()))
    need = yarn_need(made, yarn(metres=20, grams=10), GAUGE, None, pieces=pieces)

    assert {colour.colour for colour in need.colours} == set(names)
    assert need.suffices is not None
    assert need.suffices >= SURE.value
    assert need.balls_to_buy == sum(colour.balls_to_buy for colour in need.colours)
    # No colour is bought as if it alone might run short as often as the whole hood may.
    assert all(colour.suffices >= 1 - (1 - SURE.value) / many for colour in need.colours)
    parts = sum(part.metres.likely for part in need.parts)
    assert parts == pytest.approx(need.metres.likely)
