from dataclasses import replace
from decimal import ROUND_CEILING, Decimal
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from sizing.errors import ValueOutOfRangeError
from sizing.money import MINOR_UNITS, rounded, rounded_up, shared_out, unit_of
from sizing.plan import Request, make_plan
from sizing.price import Earnings, Line, Price, earnings, earns_per_hour, gross_up, price_of
from sizing.rates import FixedMinutes, Pace, Profit, Rates, TaxQuoted
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

    assert left(total) >= net - Decimal("1e-10")  # the dust that a division leaves
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


TINY = Decimal("0.000001")


@st.composite
def shops(draw: st.DrawFn) -> Rates:
    """Rates with every way to make a price."""
    base = draw(rates())
    most_fee_tax = min(Decimal(1), (Decimal("0.4") - base.fee_share) / (base.fee_share or 1))
    return replace(
        base,
        overhead_per_hour=draw(st.decimals(0, 100, places=2)),
        profit=draw(st.sampled_from(Profit)),
        markup=draw(st.decimals(0, 9, places=3)),
        discount=draw(st.sampled_from([Decimal(0), Decimal("0.1"), Decimal("0.333")])),
        deposit=draw(st.decimals(0, 1, places=2)),
        fee_tax=draw(st.decimals(0, most_fee_tax, places=3)) if most_fee_tax > 0 else Decimal(0),
        tax_quoted=draw(st.sampled_from(TaxQuoted)),
    )


def earned(paid: Decimal, settings_: Rates) -> Earnings:
    return earnings(paid, PLAN.yarn, yarn(), PLAN.labour, settings_)


def asked_sum(round_sum: Decimal, settings_: Rates) -> Decimal:
    """A total that can be asked: round, or a round price with its rounded tax on top."""
    if settings_.tax_quoted is TaxQuoted.INCLUSIVE:
        return round_sum
    return round_sum + rounded(round_sum * settings_.tax, settings_.currency)


@given(shops())
@settings(max_examples=300)
def test_the_lines_add_up_however_the_price_is_made(settings_: Rates) -> None:
    found = price(settings_)

    assert sum((line.amount for line in found.lines), Decimal(0)) == found.total
    unit = unit_of(settings_.currency)
    for line in found.lines:
        assert line.amount == line.amount.quantize(unit)
        assert line.amount <= 0 if line.name == "discount" else line.amount >= 0
    assert found.before_tax is not None
    assert 0 <= found.before_tax <= found.total


@given(shops())
@settings(max_examples=200)
def test_no_line_is_off_by_a_whole_unit(settings_: Rates) -> None:
    found = price(settings_)

    unit = unit_of(settings_.currency)
    hours = Decimal(str(PLAN.labour.minutes)) / 60
    wool = Decimal(str(PLAN.yarn.metres.likely)) / 200 * 6
    wage = hours * settings_.wage_per_hour
    overhead = (wool + wage) * settings_.overhead + hours * settings_.overhead_per_hour
    for name, exact in (("yarn", wool), ("labour", wage), ("overhead", overhead)):
        assert abs(amount(found, name) - exact) < unit * Decimal("1.000001")
    rounding = [line.amount for line in found.lines if line.name == "rounding"]
    assert all(unit <= left <= 2 * unit for left in rounding)


@given(shops())
@settings(max_examples=200)
def test_without_profit_there_is_no_cent_of_it(settings_: Rates) -> None:
    none = replace(settings_, margin=Decimal(0), markup=Decimal(0))

    assert amount(price(none), none.profit.value) == 0


@given(shops())
@settings(max_examples=300)
def test_a_price_and_what_it_earns_are_inverse_to_the_cent(settings_: Rates) -> None:
    asked = price(settings_)
    found = earned(asked.total, settings_)

    # The price is rounded up, so it earns the wage or a shade more, ...
    assert found.wage_per_hour >= settings_.wage_per_hour - Decimal("1e-8")
    # ... and at what it earns the very same price is asked.
    again = price(replace(settings_, wage_per_hour=found.wage_per_hour))
    assert again.total == asked.total


@given(shops(), st.integers(100_000, 900_000))
@settings(max_examples=300)
def test_any_price_is_asked_again_at_the_wage_that_it_leaves(
    settings_: Rates, round_sum: int
) -> None:
    won = replace(settings_, currency="KRW")
    paid = asked_sum(Decimal(round_sum), won)
    found = earned(paid, won)
    assume(0 <= found.wage_per_hour <= 1_000_000)

    assert price(replace(won, wage_per_hour=found.wage_per_hour)).total == paid


@given(shops(), st.integers(0, 5000), st.integers(0, 5000))
def test_who_is_paid_more_earns_more(settings_: Rates, one: int, two: int) -> None:
    less, more = (asked_sum(Decimal(paid), settings_) for paid in sorted((one, two)))
    first, second = earned(less, settings_), earned(more, settings_)

    assert second.wage_per_hour >= first.wage_per_hour
    assert second.per_hour >= first.per_hour


@given(shops())
def test_the_profit_is_earned_too(settings_: Rates) -> None:
    plain = replace(settings_, discount=Decimal(0))
    found = earned(price(plain).total, plain)

    assert found.per_hour >= found.wage_per_hour - Decimal("1e-12")


def test_a_price_that_somebody_else_set_may_cost_the_maker_money() -> None:
    args = PLAN.yarn, yarn(), PLAN.labour, NOTHING_ON_TOP

    assert earns_per_hour(Decimal(0), *args) < 0
    hours = Decimal(str(PLAN.labour.minutes)) / 60
    wool = Decimal(str(PLAN.yarn.metres.likely)) / 200 * 6
    assert earns_per_hour(Decimal(100), *args) == round((100 - wool) / hours, 2)


def test_work_that_takes_no_time_earns_nothing_by_the_hour() -> None:
    with pytest.raises(ValueOutOfRangeError, match="no time"):
        earns_per_hour(Decimal(10), PLAN.yarn, yarn(), replace(PLAN.labour, tasks=()), Rates())


def test_a_markup_and_a_margin_of_the_same_number_are_two_prices() -> None:
    # 100 cost + 40 % markup = 140, which is a margin of 28.57 %; a margin of 40 % asks 166.67.
    share = Decimal("0.4")
    free = yarn(price="0")
    hours = Decimal(str(PLAN.labour.minutes)) / 60
    base = replace(NOTHING_ON_TOP, wage_per_hour=100 / hours)
    markup = price_of(
        PLAN.yarn, free, PLAN.labour, replace(base, profit=Profit.MARKUP, markup=share)
    )
    margin = price_of(PLAN.yarn, free, PLAN.labour, replace(base, margin=share))

    assert markup.total == 140
    assert amount(markup, "markup") == 40
    assert round(amount(markup, "markup") / markup.total * 100, 2) == Decimal("28.57")
    assert margin.total == Decimal("166.67")
    # each setting is read only when it is the one chosen
    both = replace(base, margin=share, markup=Decimal(3), profit=Profit.MARGIN)
    assert price_of(PLAN.yarn, free, PLAN.labour, both).total == margin.total


def test_the_fee_of_the_fee_is_grossed_up_too() -> None:
    # With VAT on the fee: p' = p (1 + v), f' = f (1 + v).
    shop = replace(
        NOTHING_ON_TOP,
        fee_share=Decimal("0.05"), fee_fixed=Decimal("0.30"), fee_tax=Decimal("0.2"),
    )  # fmt: skip
    found = price(shop)

    left = found.total * (1 - Decimal("0.06")) - Decimal("0.36")
    assert abs(left - price(NOTHING_ON_TOP).total) < Decimal("0.02")
    with pytest.raises(ValueOutOfRangeError, match="fee"):
        replace(shop, fee_share=Decimal("0.39"))


def test_tax_on_top_is_the_rounded_share_of_a_round_price() -> None:
    for tax in ("0.19", "0.0825", "0.2"):
        found = price(replace(Rates(), tax=Decimal(tax), tax_quoted=TaxQuoted.EXCLUSIVE))
        assert found.before_tax is not None
        assert amount(found, "tax") == round(found.before_tax * Decimal(tax), 2)
        assert found.before_tax == price(Rates()).total


def test_tax_included_is_the_part_of_a_round_total() -> None:
    found = price(replace(Rates(), tax=Decimal("0.19")))

    assert amount(found, "tax") == found.total - round(found.total / Decimal("1.19"), 2)


def test_a_discount_comes_off_the_price_and_the_maker_bears_it() -> None:
    full, less = price(Rates()), price(Rates(discount=Decimal("0.1")))

    assert less.total == pytest.approx(full.total * Decimal("0.9"), abs=Decimal("0.02"))
    assert amount(less, "discount") == pytest.approx(-full.total / 10, abs=Decimal("0.01"))
    for name in ("yarn", "labour", "overhead"):
        assert abs(amount(less, name) - amount(full, name)) <= Decimal("0.01")


def test_deposit_and_balance_are_the_total() -> None:
    found = price(Rates(deposit=Decimal("0.5")))

    assert found.deposit is not None
    assert found.balance is not None
    assert found.deposit + found.balance == found.total
    assert abs(found.deposit - found.balance) <= Decimal("0.01")
    assert price(Rates()).deposit is None


def test_buttons_and_boxes_are_materials_with_overhead_and_profit() -> None:
    box = (Line("box", Decimal("1.20")),)
    plain = price_of(PLAN.yarn, yarn(), PLAN.labour, Rates())
    boxed = price_of(PLAN.yarn, yarn(), PLAN.labour, Rates(), extras=box)

    assert amount(boxed, "box") == pytest.approx(Decimal("1.20"), abs=Decimal("0.01"))
    more = Decimal("1.20") * Decimal("1.1") / Decimal("0.9")
    assert boxed.total - plain.total == pytest.approx(more, abs=Decimal("0.01"))


def test_overhead_by_the_hour_is_paid_by_the_hour() -> None:
    found = price(replace(NOTHING_ON_TOP, overhead_per_hour=Decimal(6)))

    exact = Decimal(str(PLAN.labour.minutes)) / 10
    assert abs(amount(found, "overhead") - exact) < Decimal("0.01")


@pytest.mark.parametrize("currency", sorted(MINOR_UNITS))
def test_a_wage_that_nobody_set_says_so(currency: str) -> None:
    (note,) = price(Rates(currency=currency)).notes

    assert currency in note
    assert "set your own" in note
    if currency in {"JPY", "HUF", "KRW"}:
        assert "no wage" in note
    assert price(Rates(currency=currency, wage_chosen=True)).notes == ()
    assert price(Rates(currency=currency, wage_per_hour=Decimal(21))).notes == ()


def test_a_price_kept_before_there_were_deposits_is_still_read() -> None:
    reader = TypeAdapter(Price)
    old = {"lines": [{"name": "yarn", "amount": "3.10"}], "total": "3.10", "currency": "EUR"}

    assert reader.validate_python(old).deposit is None
    found = price(Rates(deposit=Decimal("0.3")))
    assert reader.validate_json(reader.dump_json(found)) == found


@given(
    st.lists(st.decimals(0, 1000, places=5), min_size=1, max_size=8),
    st.sampled_from(sorted(MINOR_UNITS)),
)
def test_amounts_are_shared_out_within_a_unit(exact: list[Decimal], currency: str) -> None:
    total = rounded_up(sum(exact, Decimal(0)), currency)
    found, left = shared_out(tuple(exact), total, currency)

    assert sum(found, Decimal(0)) == total
    assert left == 0
    unit = unit_of(currency)
    assert all(abs(one - other) < unit for one, other in zip(found, exact, strict=True))
    assert all(one == 0 for one, other in zip(found, exact, strict=True) if other == 0)


MOST = {
    "wage_per_hour": Decimal(60_000), "overhead": Decimal(1), "margin": Decimal("0.9"),
    "fee_share": Decimal("0.4"), "fee_fixed": Decimal(50), "tax": Decimal(1),
    "overhead_per_hour": Decimal(200), "markup": Decimal(9), "fee_tax": Decimal(1),
}  # fmt: skip


@given(shops(), st.sampled_from(sorted(MOST)), st.decimals(0, 1, places=3))
def test_no_cost_that_rises_makes_the_hood_cheaper(
    settings_: Rates, name: str, further: Decimal
) -> None:
    now: Decimal = getattr(settings_, name)
    most = MOST[name]
    if name == "fee_share":
        most /= 1 + settings_.fee_tax
    if name == "fee_tax" and settings_.fee_share:
        most = min(most, Decimal("0.4") / settings_.fee_share - 1)
    dearer: dict[str, Any] = {name: max(now, round(now + (most - now) * further, 6) - TINY)}

    assert price(replace(settings_, **dearer)).total >= price(settings_).total


@given(shops(), st.decimals(0, 100, places=2), st.decimals(0, 100, places=2))
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

    exact = Decimal(str(PLAN.labour.minutes))
    assert abs(amount(found, "labour") - exact) < Decimal("0.01")


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
