"""Stock sizes over the usual dogs."""

from itertools import pairwise

import pytest

from sizing.dogs import Field, HeadType, Risk
from sizing.fit import reduction, target
from sizing.gauge import default_gauge
from sizing.sizes import Span
from sizing.stock import HEAVIEST, LIGHTEST, kilos, stock_of, usual_dog
from sizing.stretch import by_fibre
from sizing.wearing import Verdict, collar_band, zones_of
from sizing.yarns import Fibre
from tests.sizing.builders import ACRYLIC, COTTON_BLEND, yarn


def test_a_few_sizes_fit_all_usual_dogs_of_two_to_eighty_kilograms() -> None:
    stock = stock_of(yarn())

    assert stock.table.without == ()
    assert 6 <= len(stock.table.sizes) <= 14
    fitted = {place for size in stock.table.sizes for place in size.fits}
    assert fitted == set(range(len(stock.dogs)))
    assert {dog.head for dog in stock.dogs} == set(HeadType)


@pytest.mark.parametrize("fibres", [ACRYLIC, COTTON_BLEND])
def test_a_size_fits_a_short_nosed_dog_only_as_an_ordered_hood_would(
    fibres: tuple[tuple[Fibre, int], ...],
) -> None:
    """Nobody is told that a collar suits which an order would warn of."""
    stock = stock_of(yarn(fibres))
    stretch, gentle = by_fibre(yarn(fibres)), frozenset({Risk.SHORT_NOSED})
    seen = 0
    for size in stock.table.sizes:
        for place in size.fits:
            dog = stock.dogs[place]
            risks = gentle if dog.head is HeadType.SHORT else frozenset[Risk]()
            zones = zones_of(dog.body, size.finished, stretch, risks)
            assert {zone.verdict for zone in zones} == {Verdict.COMFORTABLE}
            seen += dog.head is HeadType.SHORT
        low, high = collar_band(stretch, gentle)
        girth = size.finished.collar_girth
        assert size.gentle_neck == Span(girth * (1 + low), girth * (1 + high))
        assert size.gentle_neck.high < size.neck_girth.high
    assert seen >= len(kilos())


def test_a_range_without_short_noses_says_nothing_of_them() -> None:
    sizes = stock_of(yarn(), heads=(HeadType.MEDIUM,)).table.sizes
    assert {size.gentle_neck for size in sizes} == {None}


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
