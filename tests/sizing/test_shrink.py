from math import exp, log, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.errors import ValueOutOfRangeError
from sizing.shrink import Belief, Observation, learned, learned_among

PRIOR = Belief(0.0, 0.25)
SDS = st.floats(0.01, 1.0)
FACTORS = st.floats(0.3, 3.0)
SEEN = st.lists(st.builds(Observation, st.just(50.0), FACTORS.map(lambda f: 50 * f), SDS))


def test_with_nothing_seen_the_prior_stands() -> None:
    assert learned(PRIOR, ()) == PRIOR


def test_one_observation_as_sure_as_the_prior_goes_half_way() -> None:
    found = learned(PRIOR, [Observation(40, 60, 0.25)])

    assert found.mean == pytest.approx(log(1.5) / 2)
    assert found.sd == pytest.approx(0.25 / sqrt(2))
    assert found.factor == pytest.approx(sqrt(1.5))


@given(SEEN)
def test_the_order_of_what_was_seen_does_not_matter(seen: list[Observation]) -> None:
    step = PRIOR
    for one in reversed(seen):
        step = learned(step, [one])
    found = learned(PRIOR, seen)

    assert found.mean == pytest.approx(step.mean, abs=1e-9)
    assert found.sd == pytest.approx(step.sd)


@given(SEEN, SDS, FACTORS)
def test_each_observation_makes_surer_and_draws_towards_itself(
    seen: list[Observation], sd: float, factor: float
) -> None:
    before = learned(PRIOR, seen)
    one = Observation(1, factor, sd)
    after = learned(before, [one])

    assert after.sd < before.sd
    low, high = sorted((before.mean, one.seen))
    assert low - 1e-12 <= after.mean <= high + 1e-12


def test_many_hoods_outweigh_the_prior() -> None:
    found = learned(PRIOR, [Observation(50, 60, 0.05)] * 40)

    assert found.factor == pytest.approx(1.2, rel=0.001)
    assert found.sd < 0.01


def test_it_is_the_middle_of_what_a_sampler_finds() -> None:
    # The posterior by brute force: draw from the prior, weigh by how well each draw explains.
    rng = np.random.default_rng(7)
    seen = [Observation(50, 62, 0.08), Observation(40, 45, 0.12)]
    draws = rng.normal(PRIOR.mean, PRIOR.sd, 400_000)
    fit = sum(-(((one.seen - draws) / one.sd) ** 2) / 2 for one in seen)
    weights = np.exp(fit)
    mean = float(np.average(draws, weights=weights))
    sd = float(np.sqrt(np.average((draws - mean) ** 2, weights=weights)))

    found = learned(PRIOR, seen)
    assert found.mean == pytest.approx(mean, abs=0.002)
    assert found.sd == pytest.approx(sd, rel=0.02)


def test_other_yarns_teach_the_maker_and_the_own_yarn_teaches_more() -> None:
    tight = tuple(Observation(50, 60, 0.05) for _ in range(5))
    others = {"aran": tight, "cotton": tight, "wool": tight}
    new = learned_among(PRIOR, 0.12, others, "merino")
    own = learned_among(PRIOR, 0.12, {**others, "merino": (Observation(50, 50, 0.05),)}, "merino")

    assert 1.1 < new.factor < 1.2
    assert new.sd > 0.12  # a new yarn is at least as unsure as yarns are apart
    assert own.factor < new.factor
    assert own.sd < 0.05


def test_learning_among_groups_is_the_exact_conditional_of_the_joint_normal() -> None:
    # maker ~ N(0, prior), group = maker + N(0, apart), seen = group + N(0, sd): condition the
    # joint normal by linear algebra and compare.
    prior, apart = 0.25, 0.12
    groups = {
        "a": (Observation(1, 1.3, 0.06), Observation(1, 1.2, 0.05)),
        "b": (Observation(1, 0.9, 0.08),),
        "own": (Observation(1, 1.1, 0.1),),
    }
    names = [name for name, seen in groups.items() for _ in seen]
    values = np.array([one.seen for seen in groups.values() for one in seen])
    noise = np.diag([one.sd**2 for seen in groups.values() for one in seen])
    same = np.array([[a == b for b in names] for a in names])
    among = prior**2 + apart**2 * same
    with_own = prior**2 + apart**2 * np.array([name == "own" for name in names])
    gain = with_own @ np.linalg.inv(among + noise)
    found = learned_among(Belief(0.0, prior), apart, groups, "own")

    assert found.mean == pytest.approx(float(gain @ values))
    assert found.sd**2 == pytest.approx(float(prior**2 + apart**2 - gain @ with_own))


@given(FACTORS, SDS)
def test_a_group_without_observations_is_no_group(factor: float, sd: float) -> None:
    some = {"a": (Observation(1, factor, sd),)}

    assert learned_among(PRIOR, 0.1, {**some, "b": ()}, "c") == learned_among(
        PRIOR, 0.1, some, "c"
    )


@pytest.mark.parametrize(
    ("expected", "actual", "sd"), [(0, 5, 0.1), (5, 0, 0.1), (5, -1, 0.1), (5, 5, 0)]
)
def test_nothing_is_learned_from_nothing(expected: float, actual: float, sd: float) -> None:
    with pytest.raises(ValueOutOfRangeError):
        Observation(expected, actual, sd)


@pytest.mark.parametrize(
    ("actual", "plausible"), [(50, True), (20, True), (5, False), (500, False)]
)
def test_a_slip_of_the_keys_is_seen(actual: float, *, plausible: bool) -> None:
    assert Observation(50, actual, 0.05).plausible is plausible


def test_a_sure_prior_stays() -> None:
    sure = Belief(log(1.1), 0.0)

    assert learned(sure, [Observation(1, 2, 0.1)]) == sure
    assert exp(sure.mean) == pytest.approx(sure.factor)
