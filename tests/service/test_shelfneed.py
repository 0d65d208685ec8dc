"""What open orders take of each lot: laws of the arithmetic."""

from datetime import date
from decimal import Decimal
from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from service.shelfneed import Lot, Need, Together, lot_for, stands_of
from sizing.lognormal import Lognormal

amounts = st.builds(Lognormal, st.floats(20, 400), st.floats(0.02, 0.5))


def need(metres: Lognormal, lot: str = "A", colour: str = "") -> Need:
    return Need(
        "2027-0001", "Moth", "accepted", date(2027, 4, 1), "Hemlock", colour, lot, metres, 170,
        Decimal("4.80"),
    )  # fmt: skip


@given(st.lists(amounts, min_size=1, max_size=6), st.floats(0, 20))
def test_what_is_bought_suffices_and_one_ball_less_does_not(
    metres: list[Lognormal], balls: float
) -> None:
    (one,) = stands_of([need(m) for m in metres], [Lot("Hemlock", "", "A", balls)])

    assert one.then >= 0.95 - 1e-9
    if one.buy:
        total = Together(tuple(metres))
        assert total.below((balls + one.buy - 1) * 170) < 0.95
        assert one.advice
    else:
        assert one.suffices >= 0.95 - 1e-9
        assert one.advice == ""


@given(st.lists(amounts, min_size=1, max_size=6), amounts)
def test_more_orders_never_need_fewer_balls(metres: list[Lognormal], more: Lognormal) -> None:
    lots = [Lot("Hemlock", "", "A", 1.5)]
    (few,) = stands_of([need(m) for m in metres], lots)
    (many,) = stands_of([need(m) for m in [*metres, more]], lots)

    assert many.buy >= few.buy
    assert many.suffices <= few.suffices + 1e-9


@given(st.lists(amounts, min_size=1, max_size=6), st.floats(-3, 3))
def test_hoods_that_err_alike_err_together(metres: list[Lognormal], z: float) -> None:
    # Outside the module: each amount at the same z, added up, and scipy's normal distribution.
    total = sum(m.middle * exp(z * m.sd) for m in metres)
    found = Together(tuple(metres))

    assert found.at(z) == pytest.approx(total)
    assert found.below(total) == pytest.approx(norm.cdf(z), abs=1e-6)


def test_one_hood_is_as_sure_as_its_own_plan_says() -> None:
    one = Lognormal(100, 0.2)
    assert Together((one,)).below(130) == pytest.approx(one.below(130), abs=1e-9)


def test_the_lot_of_the_order_the_fullest_where_none_was_chosen_and_a_colour_by_its_name() -> None:
    metres = Lognormal(100, 0.1)
    lots = [
        Lot("Hemlock", "", "A", 1), Lot("Hemlock", "", "B", 4),
        Lot("Hemlock", "Rust", "R", 2), Lot("Sorrel", "", "A", 9),
    ]  # fmt: skip

    assert lot_for(need(metres), lots) == lots[0]
    assert lot_for(need(metres, lot=""), lots) == lots[1]
    assert lot_for(need(metres, colour="rust"), lots) == lots[2]
    assert lot_for(need(metres, lot="C"), lots) is None
    assert lot_for(need(metres, colour="moss"), lots) is None


def test_what_is_not_on_the_shelf_stands_apart_and_is_advised_as_a_whole() -> None:
    (one,) = stands_of([need(Lognormal(300, 0.1), lot="C")], [Lot("Hemlock", "", "A", 9)])

    assert not one.on_shelf
    assert (one.lot, one.balls, one.suffices) == ("C", 0, 0)
    assert "Buy all 3 balls at once, of lot C" in one.advice
