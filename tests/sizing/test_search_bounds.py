"""However absurd the lengths, the search ends; where it may end early, it says the best it saw."""

from dataclasses import replace
from unittest.mock import patch

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from sizing import crowned, search, walk
from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.search import MOST_LOOKED_AT, best_shaping, choose, usual_shaping
from sizing.shaping import crown_of, shaping_cost
from sizing.units import LONGEST_LENGTH
from sizing.walk import fair_shaping
from tests.sizing import oracle
from tests.sizing.strategies import odd_gauges, reals

ANY = reals(1.0, LONGEST_LENGTH.value)
MEDIUM = Gauge(12.5, 14.3, 12.5, 14.1, tested=False)
ODD = st.tuples(
    st.integers(4, 15).map(lambda n: 2 * n),
    st.floats(20, 200),
    st.floats(60, 300),
    st.floats(10, 700),
    st.floats(8, 14),
    st.floats(0.5, 2.5),
)


def unpacked(case: tuple[int, float, float, float, float, float]) -> tuple[int, Dimensions, Gauge]:
    stitches, nape, opening, crown, gauge, ratio = case
    rows = gauge * ratio
    return (
        stitches,
        Dimensions(200, 80, nape, opening, crown),
        Gauge(gauge, rows, gauge, rows, tested=True),
    )


@given(ANY, ANY, ANY, st.none() | ANY, odd_gauges())
@example(350.0, 2000.0, 400.0, 2000.0, MEDIUM)
@example(3000.0, 3000.0, 3000.0, 3000.0, MEDIUM)
@example(2240.0, 629.0, 2344.0, 2180.0, Gauge(62.1, 62.1, 35.4, 38.2, tested=True))
@example(11.0, 2098.0, 1587.0, None, Gauge(18.7, 30.0, 2.4, 76.6, tested=True))
@settings(max_examples=30)
def test_any_lengths_take_a_bounded_number_of_candidates(
    neck: float, nape: float, face: float, crown: float | None, gauge: Gauge
) -> None:
    aim = Dimensions(neck, 80, nape, face, crown)
    with (
        patch.object(search, "shaping_cost", wraps=shaping_cost) as searched,
        patch.object(walk, "shaping_cost", wraps=shaping_cost) as walked,
        patch.object(crowned, "crown_of", wraps=crown_of) as crowns,
    ):
        choose(aim, gauge, neck)

    # The crown row that is looked at when the most is reached is looked at to its end.
    assert crowns.call_count <= 1.2 * MOST_LOOKED_AT.value
    assert walked.call_count <= 2_000
    assert searched.call_count <= (2_000 if crown is None else 1.2 * MOST_LOOKED_AT.value)


@given(ODD)
@settings(max_examples=100)
def test_crowns_that_cannot_be_had_are_searched_exactly_in_odd_gauges_too(
    case: tuple[int, float, float, float, float, float],
) -> None:
    stitches, aim, gauge = unpacked(case)

    usual = usual_shaping(stitches, aim, gauge)
    found = shaping_cost(best_shaping(usual, stitches, aim, gauge), stitches, aim, gauge)

    assert found == pytest.approx(oracle.best(stitches, aim, gauge).cost, abs=1e-6)


@given(ODD, st.integers(0, 60))
@settings(max_examples=100)
def test_a_search_that_ends_early_returns_no_worse_than_the_walk_found(
    case: tuple[int, float, float, float, float, float], most: int
) -> None:
    stitches, aim, gauge = unpacked(case)
    usual = usual_shaping(stitches, aim, gauge)
    fair = fair_shaping(usual, stitches, aim, gauge)
    exact = best_shaping(usual, stitches, aim, gauge)
    with patch.object(search, "MOST_LOOKED_AT", replace(MOST_LOOKED_AT, value=most)):
        early = best_shaping(usual, stitches, aim, gauge)

    first, walked, found, least = (
        shaping_cost(one, stitches, aim, gauge) for one in (usual, fair, early, exact)
    )
    assert least <= found <= max(walked, min(first, 1.0)) + 1e-9
    assert walked <= first
