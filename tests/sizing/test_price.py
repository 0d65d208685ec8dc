from dataclasses import replace
from decimal import ROUND_CEILING, Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.errors import ValueOutOfRangeError
from sizing.money import MINOR_UNITS, rounded_up, unit_of
from sizing.plan import Request, make_plan
from sizing.price import Price, gross_up, price_of
from sizing.rates import FixedMinutes, Pace, Rates
from tests.sizing.builders import request, yarn
from tests.sizing.strategies import rates, requests

PLAN = make_plan(request())
NOTHING_ON_TOP = Rates(overhead=Decimal(0), margin=Decimal(0))


def price(settings_: Rates, ball: str = "6.00") -> Price:
    return price_of(PLAN.yarn, yarn(price=ball), PLAN.labour, settings_)


def amount(found: Price, name: str) -> Decimal:
    return next(line.amount for line in found.lines if line.name == name)


@given(rates(), st.sampled_from(sorted(MINOR_UNITS)))
def test_the_lines_add_up_to_the_total_exactly_in_every_currency(
    settings_: Rates, currency: str
) -> None:
    found = price(replace(settings_, currency=currency))

    assert sum((line.amount for line in found.lines), Decimal(0)) == found.total
    assert found.currency == currency
    for value in (found.total, *(line.amount for line in found.lines)):
        assert value == value.quantize(unit_of(currency))


@given(requests())
@settings(max_examples=60)
def test_the_lines_of_a_whole_plan_add_up_too(order: Request) -> None:
    found = make_plan(order).price

    assert sum((line.amount for line in found.lines), Decimal(0)) == found.total


@pytest.mark.parametrize(
    ("currency", "unit"), [("EUR", "0.01"), ("USD", "0.01"), ("JPY", "1"), ("KWD", "0.001")]
)
def test_a_currency_is_rounded_to_its_own_unit(currency: str, unit: str) -> None:
    # ISO 4217: two, none and three decimals.
    assert unit_of(currency) == Decimal(unit)


def test_a_fee_is_grossed_up_so_that_the_net_is_left() -> None:
    # N = 2, f = 1.50, p = 6.5 %: G = (N + f) / (1 - p) = 3.743, rounded up to the cent 3.75.
    gross = gross_up(Decimal(2), Decimal("0.065"), Decimal("1.50"), Decimal(0))

    assert round(gross, 3) == Decimal("3.743")
    assert rounded_up(gross, "EUR") == Decimal("3.75")
    assert Decimal("3.75") * (1 - Decimal("0.065")) - Decimal("1.50") >= 2


@given(
    net=st.decimals("0.01", 5000, places=2),
    share=st.decimals(0, "0.4", places=4),
    fixed=st.decimals(0, 10, places=2),
    tax=st.decimals(0, 1, places=3),
)
def test_what_is_left_after_fee_and_tax_is_never_less_than_wanted(
    net: Decimal, share: Decimal, fixed: Decimal, tax: Decimal
) -> None:
    total = rounded_up(gross_up(net, share, fixed, tax), "EUR")

    def left(paid: Decimal) -> Decimal:
        return paid / (1 + tax) - share * paid - fixed

    assert left(total) >= net - Decimal("1e-12")
    cheaper = total - Decimal("0.01")
    assert left(cheaper) < net  # and a cent less would not do: rounded once, and no further


@given(rates())
def test_the_total_covers_costs_margin_fee_and_tax(settings_: Rates) -> None:
    found = price(settings_)

    hours = Decimal(str(PLAN.labour.minutes)) / 60
    yarn_cost = Decimal(str(PLAN.yarn.metres.likely)) / 200 * 6
    cost = (yarn_cost + hours * settings_.wage_per_hour) * (1 + settings_.overhead)
    fee = found.total * settings_.fee_share + settings_.fee_fixed
    left = found.total / (1 + settings_.tax) - fee
    assert left * (1 - settings_.margin) >= cost - Decimal("1e-9") - unit_of(settings_.currency)
    assert left >= cost / (1 - settings_.margin) - Decimal("1e-9")


MOST = {
    "wage_per_hour": Decimal(60_000), "overhead": Decimal(1), "margin": Decimal("0.9"),
    "fee_share": Decimal("0.4"), "fee_fixed": Decimal(50), "tax": Decimal(1),
}  # fmt: skip


@given(rates(), st.sampled_from(sorted(MOST)), st.decimals(0, 1, places=3))
def test_no_cost_that_rises_makes_the_hood_cheaper(
    settings_: Rates, name: str, further: Decimal
) -> None:
    now: Decimal = getattr(settings_, name)
    dearer: dict[str, Any] = {name: now + (MOST[name] - now) * further}

    assert price(replace(settings_, **dearer)).total >= price(settings_).total


@given(rates(), st.decimals(0, 100, places=2), st.decimals(0, 100, places=2))
def test_dearer_yarn_never_makes_the_hood_cheaper(
    settings_: Rates, one: Decimal, two: Decimal
) -> None:
    cheap, dear = sorted((one, two))

    assert price(settings_, str(dear)).total >= price(settings_, str(cheap)).total


def test_a_markup_of_40_percent_on_cost_is_a_margin_of_28_57_percent_of_the_price() -> None:
    # Margin = markup / (1 + markup): 100 cost, 140 price, 40 of 140.
    margin = Decimal("0.4") / Decimal("1.4")
    assert round(margin * 100, 2) == Decimal("28.57")

    plain = price(NOTHING_ON_TOP)
    with_margin = price(replace(NOTHING_ON_TOP, margin=margin))

    assert with_margin.total == pytest.approx(plain.total * Decimal("1.4"), abs=Decimal("0.03"))


def test_a_margin_is_a_share_of_the_price_without_tax_and_fee() -> None:
    found = price(replace(NOTHING_ON_TOP, margin=Decimal("0.2"), tax=Decimal("0.19")))

    without_tax = found.total - amount(found, "tax")
    assert amount(found, "margin") / without_tax == pytest.approx(
        Decimal("0.2"), abs=Decimal("0.001")
    )


def test_labour_is_paid_by_the_hour() -> None:
    found = price(replace(NOTHING_ON_TOP, wage_per_hour=Decimal(60)))

    assert amount(found, "labour") == round(Decimal(str(PLAN.labour.minutes)), 2)


def test_tax_and_fee_are_lines_only_where_they_are_set() -> None:
    assert [line.name for line in price(Rates()).lines] == [
        "yarn", "labour", "overhead", "margin",
    ]  # fmt: skip
    with_both = Rates(fee_share=Decimal("0.03"), fee_fixed=Decimal("0.35"), tax=Decimal("0.2"))
    assert [line.name for line in price(with_both).lines][-2:] == ["payment fee", "tax"]


def test_the_total_is_rounded_up_once() -> None:
    found = price(NOTHING_ON_TOP)

    yarn_cost = Decimal(str(PLAN.yarn.metres.likely)) / 200 * 6
    wage = Decimal(str(PLAN.labour.minutes)) / 60 * 15
    assert found.total == (yarn_cost + wage).quantize(Decimal("0.01"), rounding=ROUND_CEILING)


def test_a_wage_in_won_is_not_taken_for_a_slip() -> None:
    assert price(Rates(currency="KRW", wage_per_hour=Decimal(12_000))).total > 12_000


@pytest.mark.parametrize(
    "wrong",
    [
        {"currency": "EURO"}, {"currency": "eur"}, {"allowance": 1.0}, {"allowance": float("nan")},
        {"margin": Decimal(1)}, {"margin": Decimal("NaN")}, {"fee_share": Decimal("0.5")},
        {"tax": Decimal("-0.1")}, {"tax": Decimal("Infinity")}, {"overhead": Decimal(2)},
        {"wage_per_hour": Decimal(-1)}, {"wage_per_hour": Decimal("1e9")},
        {"wage_per_hour": Decimal("sNaN")}, {"fee_fixed": Decimal(-1)},
    ],
)  # fmt: skip
def test_settings_that_give_no_price_are_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ValueOutOfRangeError) as caught:
        Rates(**wrong)  # type: ignore[arg-type]

    assert caught.value.field in wrong


@pytest.mark.parametrize("pace", [0.0, -1.0, float("nan"), float("inf"), 1e-300])
def test_a_pace_at_which_nothing_is_finished_is_refused(pace: float) -> None:
    with pytest.raises(ValueOutOfRangeError, match="a minute"):
        Pace(sc=pace)


@pytest.mark.parametrize("minutes", [-1.0, float("nan"), float("inf"), 1e9])
def test_a_task_that_takes_no_possible_time_is_refused(minutes: float) -> None:
    with pytest.raises(ValueOutOfRangeError, match="task"):
        FixedMinutes(packing=minutes)
