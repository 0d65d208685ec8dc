"""The benchmark of docs/doctor.md in small, on dogs that the doctor was not built from."""

import pytest

from tests.benchmarks.doctor.cases import cases
from tests.benchmarks.doctor.count import Count, count, true_dogs
from tests.benchmarks.doctor.dogs import stranger_world
from tests.benchmarks.doctor.frontier import Trusts
from tests.benchmarks.doctor.natural import Natural

STRANGERS = stranger_world(1.0)


@pytest.fixture(scope="module")
def natural() -> Natural:
    return Natural(STRANGERS, seed=2, each=40)


@pytest.mark.parametrize("knowledge", ["breed and weight", "breed only", "mix by weight"])
def test_slips_beyond_natural_spread_are_found_and_named(natural: Natural, knowledge: str) -> None:
    total = Count()
    for case in cases():
        total.add(count(STRANGERS, natural, case, knowledge, 8, Trusts()))

    assert total.beyond > 150
    assert total.flagged >= 0.93 * total.beyond
    assert total.right >= 0.86 * total.beyond


@pytest.mark.parametrize("knowledge", ["breed and weight", "breed only", "unknown"])
def test_true_dogs_are_left_in_peace(knowledge: str) -> None:
    queried, stopped = true_dogs(STRANGERS, knowledge, 600)

    assert queried <= 0.02
    assert stopped <= 0.002
