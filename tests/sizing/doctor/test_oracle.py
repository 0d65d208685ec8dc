"""The benchmark's oracles: their normals against scipy's, their thresholds laid out by hand."""

from math import exp, log

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from tests.benchmarks.doctor.dogs import held_out_world
from tests.benchmarks.doctor.frontier import Trusts
from tests.benchmarks.doctor.law import Normals
from tests.benchmarks.doctor.oracle import CASES, Seen, Shares, best, known, shared, trusts, unsure

MEANS = np.array([[5.0, 6.0], [5.4, 6.5], [4.0, 6.0]])
COVARIANCES = np.array([[[0.04, 0.01], [0.01, 0.09]], np.eye(2) * 0.02, np.eye(2) * 0.3])
SHARES = np.array([0.5, 0.3, 0.2])


def test_many_normals_are_weighed_as_scipy_weighs_each() -> None:
    points = np.array([[5.0, 6.0], [4.2, 6.9], [5.5, 6.5], [3.0, 3.0]])
    each = [
        share * multivariate_normal(mean, covariance).pdf(points)
        for share, mean, covariance in zip(SHARES, MEANS, COVARIANCES, strict=True)
    ]
    wanted = np.log(sum(each))
    found = Normals(MEANS, COVARIANCES, SHARES).density(points)

    assert found - found[0] == pytest.approx(wanted - wanted[0], abs=1e-9)


def test_one_threshold_is_the_least_of_all_worlds() -> None:
    calm = Trusts([0.5, 0.9, *[0.99] * 98], [(0.4, True), (0.6, False), (0.95, True)])
    wild = Trusts([0.2, 0.7, *[0.99] * 98], [(0.1, True), (0.65, True), (0.8, True)])
    found = shared([calm, wild])

    assert found == [Shares(0.01, 2 / 3, 1 / 3), Shares(0.02, 2 / 3, 2 / 3)]


def orders(slip: tuple[float, float, float], case: int) -> Seen:
    """A hundred true dogs, taken alike by all laws, and a slip with its weight by each."""
    logs = np.full((101, 3, 1 + len(CASES)), -50.0)
    logs[:100, :, 1] = 0
    logs[:, :, 0] = np.linspace(0, 1, 101)[:, None]
    logs[100, :, 1 + case] = slip
    return Seen(logs, np.array([-1] * 100 + [case]))


def test_each_law_counts_for_its_share_and_the_likeliest_slip_comes_first() -> None:
    seen = orders((10.0, 0.0, -30.0), 3)
    seen.logs[100, :, 1 + 7] = (5.0, 0.0, 12.0)

    (by_narrow,) = trusts(seen, (1, 0.1, 0.01)).slips
    (by_wide,) = trusts(seen, (0.01, 0.1, 1)).slips
    assert (by_narrow[1], by_wide[1]) == (True, False)
    # By each law all true is as likely, so the trust differs by the slips' weights alone.
    likelier = log(exp(12) + 0.01 * (exp(10) + exp(5))) - log(exp(10) + exp(5) + 0.01 * exp(12))
    assert by_narrow[0] - by_wide[0] == pytest.approx(likelier, abs=1e-4)


def test_the_weighting_taken_flags_most_where_least_is_flagged() -> None:
    # The narrow law alone sees the slip of the first world; where all count alike it is missed.
    found = unsure([orders((1.9, -50.0, -50.0), 0), orders((30.0, 30.0, 30.0), 1)])

    assert [one.flagged for one in found] == [1, 1]
    (alike,) = shared([trusts(orders((1.9, -50.0, -50.0), 0), (1, 1, 1), (1, 1, 1))])
    assert alike.flagged == 0


def test_who_knows_the_held_out_breeds_meets_the_goals_there() -> None:
    found = best(known(held_out_world(), "breed and weight", 10, 600))

    assert found.flagged >= 0.97
    assert found.first >= 0.90
