"""What lies exactly on a stated limit is taken, and what lies beyond it is refused."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from math import pi
from typing import Any

import pytest

from sizing.addons import increases_per_round
from sizing.doctor.verdict import of_no_dog
from sizing.dogs import Dog, Measurements
from sizing.errors import ValueOutOfRangeError
from sizing.fit import Dimensions
from sizing.gauge import Gauge, Swatch
from sizing.labour import Labour, Task
from sizing.price import earnings
from sizing.rates import Rates
from sizing.replan import InHand
from sizing.rowplan import RowPlan
from sizing.rows import PartName
from sizing.shrink import Belief
from sizing.sizes import Bands, size_table
from sizing.variants import ear_openings
from sizing.wishes import Wishes, make_of
from sizing.yarns import Fibre
from tests.sizing.builders import row_plan, spaniel, yarn
from tests.sizing.test_price import PLAN
from tests.sizing.test_variants import GAUGE

ABOVE = 1 + 1e-9


def _bands(low: float) -> object:
    def engine(_: Measurements) -> tuple[RowPlan, Dimensions]:
        raise AssertionError

    return size_table([], engine, Bands((low, 0.1), (0, 0.1), (0, 0.1)))


def _mix(cotton: int) -> object:
    return yarn(((Fibre.COTTON, cotton), (Fibre.ACRYLIC, 100 - cotton)))


def _weighed(grams: float) -> object:
    return Swatch(12, 14, 12, 14, weighed_grams=grams, weighed_stitches=1)


def _unravelled(mm: float) -> object:
    return Swatch(12, 14, 12, 14, unravelled_mm=mm, unravelled_stitches=1)


def _plain_rows(rows: float) -> object:
    """A disc gains 2 pi stitches by rows, from 4 to 9."""
    return increases_per_round(Gauge(12, rows, 12, rows, tested=True))


@pytest.mark.parametrize(
    ("made", "taken", "refused"),
    [
        (lambda mm: replace(spaniel(), neck_girth=mm), (3000, 0.001), (3000 * ABOVE, 0, -1)),
        (lambda mm: replace(spaniel(), head_girth=mm), (3000, 0.001), (3000 * ABOVE, 0, -1)),
        (lambda kg: Dog(weight_kg=kg), (0.2, 165), (0.2 / ABOVE, 165 * ABOVE, 0)),
        (lambda n: InHand(PartName.HOOD, n, 40, 320, 70), (1, 2000), (0, 2001)),
        (lambda n: InHand(PartName.HOOD, 10, n, 320, 70), (1, 2000), (0, 2001)),
        (lambda mm: InHand(PartName.HOOD, 10, 40, mm, 70), (0.1, 5000), (0, 5000 * ABOVE)),
        (lambda mm: yarn(metres=mm), (1, 5000), (0, -1)),
        (lambda price: yarn(price=str(price)), (0, 1_000_000), ("-0.01", "1000000.01")),
        (_weighed, (0.001, 1000), (0, 1000 * ABOVE, -1)),
        (_unravelled, (0.001, 1000), (0, 1000 * ABOVE, -1)),
        (_plain_rows, (2 * pi * 12 / 9, 2 * pi * 12 / 4), (2 * pi * 12 / 9.6, 2 * pi * 12 / 3.4)),
        (lambda fee: Rates(fee_share=Decimal(fee)), ("0", "0.4"), ("0.41", "-0.01")),
        (_mix, (1, 99), (0, 100, -1, 101)),
        (_bands, (-0.999, 0.1), (-1, 0.1001)),
        (lambda mm: ear_openings(row_plan(), GAUGE, mm, 40), (0.01,), (0, -1)),
        (lambda mm: ear_openings(row_plan(), GAUGE, 32, 40, mm), (100,), (-1, -100)),
    ],
)
def test_a_limit_is_the_last_that_is_taken(
    made: Callable[[object], object], taken: tuple[object, ...], refused: tuple[object, ...]
) -> None:
    for value in taken:
        made(value)
    for value in refused:
        with pytest.raises(ValueOutOfRangeError):
            made(value)


def with_share(name: str, value: str) -> Rates:
    shares: dict[str, Any] = {name: Decimal(value)}
    return replace(Rates(), **shares)


@pytest.mark.parametrize("name", ["overhead", "tax", "deposit", "fee_tax"])
def test_a_share_of_something_goes_to_all_of_it_and_not_below_nothing(name: str) -> None:
    for value in ("0", "1"):
        assert getattr(with_share(name, value), name) == Decimal(value)
    for value in ("-0.01", "1.01"):
        with pytest.raises(ValueOutOfRangeError) as caught:
            with_share(name, value)
        assert caught.value.field == name


def test_the_lengths_of_a_dog_end_where_the_lightest_and_heaviest_would_with_another_build() -> (
    None
):
    # docs/doctor.md: a broad head is that of a medium one of 1.4 times the weight, a stout too.
    assert not of_no_dog(20)
    assert of_no_dog(0)
    assert of_no_dog(1000)


@pytest.mark.parametrize("missing", ["ear_base", "ear_from_centre"])
def test_the_length_that_an_ear_opening_lacks_is_named(missing: str) -> None:
    given: dict[str, Any] = {"ear_base_mm": 32.0, "ear_from_centre_mm": 40.0}
    del given[f"{missing}_mm"]

    with pytest.raises(ValueOutOfRangeError, match="two lengths") as caught:
        make_of(Wishes(**given), row_plan(), GAUGE)

    assert caught.value.field == missing


def test_ear_openings_fit_where_exactly_one_row_can_hold_them() -> None:
    # Openings keep two rows clear on each side: wrong side row 4 of a hood of 7 rows, no other.
    assert ear_openings(RowPlan(4, 40, 7, 8, (0, 0, 0)), GAUGE, 20, 40).row == 4
    with pytest.raises(ValueOutOfRangeError, match="only 6 rows"):
        ear_openings(RowPlan(4, 40, 6, 7, (0, 0)), GAUGE, 20, 40)


def test_work_of_half_an_hour_earns_by_the_hour_too() -> None:
    quick = Labour((Task("hood", 30.0),))
    hour = Labour((Task("hood", 60.0),))
    free, rates = yarn(price="0"), replace(Rates(), overhead=Decimal(0), margin=Decimal(0))

    half, whole = (earnings(Decimal(30), PLAN.yarn, free, one, rates) for one in (quick, hour))
    assert half.per_hour == 2 * whole.per_hour == 60


def test_a_yarn_is_as_steady_as_its_steady_fibres_are_many() -> None:
    for cotton in (0, 25, 50, 100):
        rest = 100 - cotton
        parts = [(Fibre.COTTON, cotton), (Fibre.ACRYLIC, rest)]
        fibres = tuple((fibre, percent) for fibre, percent in parts if percent)

        assert yarn(fibres).steady_share == pytest.approx(cotton / 100)


def test_what_is_not_known_of_a_factor_changes_nothing() -> None:
    assert Belief().factor == 1
    assert Belief() == Belief(0.0, 0.0)
