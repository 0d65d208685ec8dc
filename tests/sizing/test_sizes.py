"""Stock sizes: few hoods, each with the dogs that it fits."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.dogs import Field, HeadType, Measurements
from sizing.errors import ValueOutOfRangeError
from sizing.fit import Dimensions, reduction, target
from sizing.gauge import default_gauge
from sizing.rowplan import RowPlan
from sizing.search import choose
from sizing.shape import finished
from sizing.sizes import Bands, SizeTable, size_table, span_of
from sizing.stretch import by_fibre
from sizing.wearing import (
    LOOSE_NAPE,
    LOOSE_OPENING,
    TIGHT_NAPE,
    TIGHT_OPENING,
    Verdict,
    collar_band,
    zones_of,
)
from tests.sizing.builders import yarn
from tests.sizing.strategies import of_weight, reals

STRETCH = by_fibre(yarn())
BANDS = Bands(
    collar_band(STRETCH, frozenset()),
    (LOOSE_NAPE.value, TIGHT_NAPE.value),
    (LOOSE_OPENING.value, TIGHT_OPENING.value),
)


def engine(dog: Measurements) -> tuple[RowPlan, Dimensions]:
    gauge = default_gauge(yarn())
    plan = choose(target(dog, reduction(STRETCH, frozenset())), gauge)
    return plan, finished(plan, gauge)


def dogs_of(
    kilos: list[float], head: HeadType = HeadType.MEDIUM, place: float = 0.5
) -> list[Measurements]:
    return [of_weight(kg, head, dict.fromkeys(Field, place)) for kg in kilos]


def table_of(dogs: list[Measurements]) -> SizeTable:
    return size_table(dogs, engine, BANDS)


def test_a_range_of_medium_heads_needs_far_fewer_sizes_than_dogs() -> None:
    dogs = dogs_of([2 * 1.12**n for n in range(33)])  # 2 to 75 kg
    table = table_of(dogs)

    assert table.without == ()
    assert 5 <= len(table.sizes) <= 12
    assert [size.number for size in table.sizes] == list(range(1, len(table.sizes) + 1))
    girths = [size.finished.collar_girth for size in table.sizes]
    assert girths == sorted(girths)


@given(st.lists(reals(2.0, 80.0), min_size=1, max_size=12), st.sampled_from(HeadType), reals(0, 1))
@settings(max_examples=40)
def test_every_dog_that_a_size_names_is_worn_in_comfort_and_no_other(
    kilos: list[float], head: HeadType, place: float
) -> None:
    dogs = dogs_of(kilos, head, place)
    table = table_of(dogs)
    for size in table.sizes:
        for at, dog in enumerate(dogs):
            worn = zones_of(dog, size.finished, STRETCH, frozenset())
            comfortable = all(zone.verdict is Verdict.COMFORTABLE for zone in worn)
            assert comfortable == (at in size.fits)
        assert (size.rows, size.finished) == engine(dogs[size.made_for])
    fitted = {at for size in table.sizes for at in size.fits}
    assert fitted | set(table.without) == set(range(len(dogs)))
    assert not fitted & set(table.without)


@given(st.lists(reals(2.0, 80.0), min_size=2, max_size=12))
@settings(max_examples=30)
def test_no_size_is_superfluous(kilos: list[float]) -> None:
    table = table_of(dogs_of(kilos))

    first_only = [
        set(size.fits) - {at for other in table.sizes[:n] for at in other.fits}
        for n, size in enumerate(table.sizes)
    ]
    assert sum(bool(own) for own in first_only) >= len(table.sizes) - 1


def test_a_band_gives_the_body_lengths_that_a_finished_length_fits() -> None:
    span = span_of(280, (0.1, 0.3))

    assert span.low == pytest.approx(308)
    assert span.high == pytest.approx(364)
    assert span.holds(308.1)
    assert not span.holds(307)


def test_no_dogs_need_no_sizes_and_a_turned_band_is_refused() -> None:
    assert table_of([]) == SizeTable((), ())
    with pytest.raises(ValueOutOfRangeError, match="low to its high"):
        size_table([], engine, Bands((0.3, 0.1), (0, 0.1), (0, 0.1)))
