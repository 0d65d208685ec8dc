"""The frontier of the benchmark: what thresholds could reach, on trusts laid out by hand."""

import pytest

from tests.benchmarks.doctor.frontier import Trusts, frontier


def test_the_frontier_of_numbers_laid_out_by_hand() -> None:
    true = [0.5, 0.9, *[0.99] * 98]
    slips = [(place / 100, place % 20 != 0) for place in range(100)]
    found = frontier(Trusts(true, slips))

    assert found.flagged == pytest.approx(0.91)  # up to 0.90, where two of a hundred are asked
    assert found.first == pytest.approx(0.86)  # five of those are wrongly explained
    assert found.asked == pytest.approx(0.02)  # up to 0.94
    assert found.asked_first == pytest.approx(0.02)  # ninety right ones: up to 0.94
    assert found.both


def test_no_threshold_helps_where_too_few_are_explained_rightly() -> None:
    slips = [(place / 100, place % 5 != 0) for place in range(100)]
    found = frontier(Trusts([0.999] * 100, slips))

    assert found.asked == 0
    assert found.asked_first is None
    assert not found.both
