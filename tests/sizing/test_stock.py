"""Stock sizes over the usual dogs."""

from itertools import pairwise

import pytest

from sizing.dogs import Field, HeadType
from sizing.fit import reduction, target
from sizing.gauge import default_gauge
from sizing.stock import HEAVIEST, LIGHTEST, kilos, stock_of, usual_dog
from sizing.stretch import by_fibre
from tests.sizing.builders import yarn


def test_a_few_sizes_fit_all_usual_dogs_of_two_to_eighty_kilograms() -> None:
    stock = stock_of(yarn())

    assert stock.table.without == ()
    assert 6 <= len(stock.table.sizes) <= 14
    fitted = {place for size in stock.table.sizes for place in size.fits}
    assert fitted == set(range(len(stock.dogs)))
    assert {dog.head for dog in stock.dogs} == set(HeadType)


def test_fewer_head_types_need_no_more_sizes() -> None:
    medium = stock_of(yarn(), heads=(HeadType.MEDIUM,))
    assert len(medium.table.sizes) <= len(stock_of(yarn()).table.sizes)
    assert {dog.head for dog in medium.dogs} == {HeadType.MEDIUM}


def test_the_range_runs_from_the_lightest_to_the_heaviest_in_even_steps() -> None:
    weights = kilos()

    assert weights[0] == LIGHTEST.value
    assert weights[-1] == pytest.approx(HEAVIEST.value, rel=0.06)
    assert {round(b / a, 6) for a, b in pairwise(weights)} == {1.12}


def test_usual_dogs_grow_with_their_weight_in_every_length() -> None:
    light, heavy = usual_dog(5, HeadType.MEDIUM).body, usual_dog(40, HeadType.MEDIUM).body
    assert all(heavy.of(field) > light.of(field) for field in Field)
    # Girths grow as the cube root of the weight, common practice for bodies of one shape:
    # eight times the weight is twice the girth, give or take.
    assert heavy.neck_girth / light.neck_girth == pytest.approx(2, rel=0.15)


def test_a_stock_size_is_the_hood_that_its_dog_would_have_been_made() -> None:
    stock = stock_of(yarn(), heads=(HeadType.LONG,))
    stretch, gauge = by_fibre(yarn()), default_gauge(yarn())
    for size in stock.table.sizes:
        aim = target(stock.dogs[size.made_for].body, reduction(stretch, frozenset()))
        assert size.finished.collar_girth == pytest.approx(aim.collar_girth, abs=gauge.rib_row_mm)
    assert stock.limit == stretch.limit
