"""What the work must cost, and what the maker earns at a price that somebody else set.

    cost  = (materials + labour) x (1 + overhead) + overhead by the hour
    net   = cost / (1 - margin)  or  cost x (1 + markup);  less the discount
    total = (net + fixed fee) / (1 / (1 + tax) - fee share)

Materials at replacement cost; the payment fee is grossed up so that it does not eat the wage.
The total is rounded once, up to a whole unit of the currency. The tax is rounded by itself, and
the other lines are cut so that all add up to the total exactly, each within a unit.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived
from sizing.labour import Labour
from sizing.material import YarnNeed
from sizing.money import rounded, rounded_up, shared_out, unit_of
from sizing.rates import Profit, Rates, TaxQuoted
from sizing.yarns import Yarn

MINUTES: Final = Fact(60, "minutes an hour", derived("definition of the hour"))


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a price."""

    name: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Price:
    """A price: its lines, their total, and the currency; an older plan lacks the rest.

    Attributes:
        lines: they add up to the total exactly; only a discount is below 0.
        total: what the buyer pays, tax included.
        currency: ISO 4217 code.
        before_tax: the total without the tax line.
        deposit: asked before the work begins; None where none is.
        balance: the total less the deposit.
        notes: sentences for the maker, for example that the wage was never set.
    """

    lines: tuple[Line, ...]
    total: Decimal
    currency: str
    before_tax: Decimal | None = None
    deposit: Decimal | None = None
    balance: Decimal | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Earnings:
    """What a price leaves, in currency units an hour; below 0 the maker pays to work.

    Attributes:
        wage_per_hour: the wage at which `price_of` asks this price, profit set aside.
        per_hour: wage and profit together: all that is left of the price by the hour.
    """

    wage_per_hour: Decimal
    per_hour: Decimal


def gross_up(net: Decimal, fee_share: Decimal, fee_fixed: Decimal, tax: Decimal) -> Decimal:
    """Return what the buyer must pay so that `net` is left after tax and payment fee.

    The fee is taken from all that the buyer pays, the tax included:
    total = (net + fixed fee) / (1 / (1 + tax) - fee share).
    """
    return (net + fee_fixed) / (1 / (1 + tax) - fee_share)


def materials_cost(need: YarnNeed, yarn: Yarn) -> Decimal:
    """Return the replacement cost of the likely yarn, by the metre."""
    return Decimal(str(need.metres.likely)) / Decimal(str(yarn.ball_metres)) * yarn.ball_price


def _hours(labour: Labour) -> Decimal:
    return Decimal(str(labour.minutes)) / int(MINUTES.value)


def _costs(
    need: YarnNeed, yarn: Yarn, labour: Labour, rates: Rates, extras: Sequence[Line]
) -> list[Line]:
    """Return the exact costs, not rounded."""
    hours = _hours(labour)
    direct = [Line("yarn", materials_cost(need, yarn)), *extras]
    direct.append(Line("labour", hours * rates.wage_per_hour))
    shared = sum((line.amount for line in direct), Decimal(0)) * rates.overhead
    return [*direct, Line("overhead", shared + hours * rates.overhead_per_hour)]


def _with_profit(cost: Decimal, rates: Rates) -> Decimal:
    """Return the net price before discount, tax and fee."""
    if rates.profit is Profit.MARKUP:
        return cost * (1 + rates.markup)
    return cost / (1 - rates.margin)


def _without_profit(net: Decimal, rates: Rates) -> Decimal:
    """Return the cost that a net price before discount allows."""
    if rates.profit is Profit.MARKUP:
        return net / (1 + rates.markup)
    return net * (1 - rates.margin)


def _fee(total: Decimal, rates: Rates) -> Decimal:
    return total * rates.whole_fee_share + rates.whole_fee_fixed


def _put_on_top(net: Decimal, rates: Rates) -> tuple[Decimal, Decimal]:
    """Return the least price before tax that leaves `net`, and the tax put on it."""
    unit = unit_of(rates.currency)
    share, tax_share = rates.whole_fee_share, rates.tax
    before = (net + rates.whole_fee_fixed) / (1 - share * (1 + tax_share))
    # The rounded tax is up to half a unit off, so the fee is too: begin below, go up.
    least = max(rounded(before, rates.currency) - unit, Decimal(0))
    while True:
        tax = rounded(least * tax_share, rates.currency)
        short = net - (least - _fee(least + tax, rates))
        if rounded_up(max(short, Decimal(0)), rates.currency) == 0:
            return least, tax
        least += unit


def _asked(net: Decimal, rates: Rates) -> tuple[Decimal, Decimal]:
    """Return the total in whole units, and the tax in it."""
    if rates.tax_quoted is TaxQuoted.EXCLUSIVE:
        before, tax = _put_on_top(net, rates)
        return before + tax, tax
    gross = gross_up(net, rates.whole_fee_share, rates.whole_fee_fixed, rates.tax)
    total = rounded_up(gross, rates.currency)
    return total, total - rounded(total / (1 + rates.tax), rates.currency)


def price_of(
    need: YarnNeed, yarn: Yarn, labour: Labour, rates: Rates, *, extras: Sequence[Line] = ()
) -> Price:
    """Return the price of a hood.

    Args:
        need: the yarn.
        yarn: what a ball of it costs to buy again.
        labour: the time.
        rates: the maker's.
        extras: other materials at replacement cost: buttons, a label, a box.
    """
    costs = _costs(need, yarn, labour, rates, extras)
    cost = sum((line.amount for line in costs), Decimal(0))
    net = _with_profit(cost, rates)
    off = net * rates.discount
    total, tax = _asked(net - off, rates)
    lines = [*costs, Line(rates.profit.value, net - cost)]
    if off:
        lines.append(Line("discount", -off))
    if rates.fee_share or rates.fee_fixed:
        lines.append(Line("payment fee", _fee(total, rates)))
    exact = tuple(line.amount for line in lines)
    amounts, left = shared_out(exact, total - tax, rates.currency)
    shown = [Line(line.name, amount) for line, amount in zip(lines, amounts, strict=True)]
    shown += [Line("tax", tax)] if rates.tax else []
    shown += [Line("rounding", left)] if left else []
    deposit = rounded(total * rates.deposit, rates.currency) if rates.deposit else None
    return Price(
        lines=tuple(shown),
        total=total,
        currency=rates.currency,
        before_tax=total - tax,
        deposit=deposit,
        balance=None if deposit is None else total - deposit,
        notes=(rates.wage_note,) if rates.wage_note else (),
    )


def earnings(
    paid: Decimal,
    need: YarnNeed,
    yarn: Yarn,
    labour: Labour,
    rates: Rates,
    *,
    extras: Sequence[Line] = (),
) -> Earnings:
    """Return what the maker earns by the hour at a price: `price_of`, the other way round.

    Args:
        paid: what the buyer pays, tax included, after any discount.
        need: the yarn, as in `price_of`.
        yarn: what a ball of it costs to buy again.
        labour: the time.
        rates: the maker's; their wage is not read.
        extras: other materials at replacement cost.

    Raises:
        ValueOutOfRangeError: if the work takes no time.
    """
    hours = _hours(labour)
    if hours <= 0:
        raise ValueOutOfRangeError("labour", "Work that takes no time earns nothing by the hour.")
    before_tax = paid / (1 + rates.tax)
    if rates.tax_quoted is TaxQuoted.EXCLUSIVE:
        before_tax = rounded(before_tax, rates.currency)
    left = before_tax - _fee(paid, rates)
    cost = _without_profit(left / (1 - rates.discount), rates)
    direct = (cost - hours * rates.overhead_per_hour) / (1 + rates.overhead)
    materials = materials_cost(need, yarn) + sum((line.amount for line in extras), Decimal(0))
    wage = direct - materials
    return Earnings(wage / hours, (wage + left - cost) / hours)


def earns_per_hour(
    paid: Decimal,
    need: YarnNeed,
    yarn: Yarn,
    labour: Labour,
    rates: Rates,
    *,
    extras: Sequence[Line] = (),
) -> Decimal:
    """Return all that a price leaves the maker by the hour, rounded to the currency's unit."""
    found = earnings(paid, need, yarn, labour, rates, extras=extras)
    return rounded(found.per_hour, rates.currency)
