"""What the work must cost.

Materials at replacement cost, labour, overhead; margin on the price; the payment fee
grossed up so that it does not eat the wage; tax where it is set. The total is rounded once,
up to a whole unit of the currency; the margin line takes the rounding, so that the lines
add up to the total exactly.
"""

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from sizing.evidence import Fact, derived
from sizing.labour import Labour
from sizing.material import YarnNeed
from sizing.money import rounded, rounded_up
from sizing.rates import Rates
from sizing.yarns import Yarn

MINUTES: Final = Fact(60, "minutes an hour", derived("definition of the hour"))


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a price."""

    name: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Price:
    """A price: its lines, their total, and the currency."""

    lines: tuple[Line, ...]
    total: Decimal
    currency: str


def gross_up(net: Decimal, fee_share: Decimal, fee_fixed: Decimal, tax: Decimal) -> Decimal:
    """Return what the buyer must pay so that `net` is left after tax and payment fee.

    The fee is taken from all that the buyer pays, the tax included:
    total = (net + fixed fee) / (1 / (1 + tax) - fee share).
    """
    return (net + fee_fixed) / (1 / (1 + tax) - fee_share)


def materials_cost(need: YarnNeed, yarn: Yarn) -> Decimal:
    """Return the replacement cost of the likely yarn, by the metre."""
    return Decimal(str(need.metres.likely)) / Decimal(str(yarn.ball_metres)) * yarn.ball_price


def price_of(need: YarnNeed, yarn: Yarn, labour: Labour, rates: Rates) -> Price:
    """Return the price of a hood."""
    currency = rates.currency
    materials = materials_cost(need, yarn)
    wage = Decimal(str(labour.minutes)) / int(MINUTES.value) * rates.wage_per_hour
    overhead = (materials + wage) * rates.overhead
    net = (materials + wage + overhead) / (1 - rates.margin)
    total = rounded_up(gross_up(net, rates.fee_share, rates.fee_fixed, rates.tax), currency)
    costs = [
        Line("yarn", rounded(materials, currency)),
        Line("labour", rounded(wage, currency)),
        Line("overhead", rounded(overhead, currency)),
    ]
    passed_on = []
    if rates.fee_share or rates.fee_fixed:
        fee = total * rates.fee_share + rates.fee_fixed
        passed_on.append(Line("payment fee", rounded(fee, currency)))
    if rates.tax:
        passed_on.append(Line("tax", rounded(total - total / (1 + rates.tax), currency)))
    margin = total - sum((line.amount for line in (*costs, *passed_on)), Decimal(0))
    return Price((*costs, Line("margin", margin), *passed_on), total, currency)
