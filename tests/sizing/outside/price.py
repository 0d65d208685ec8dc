"""What a price is made of."""

from dataclasses import replace
from decimal import Decimal
from functools import cache, partial

from babel.numbers import get_currency_precision
from scipy.optimize import brentq

from sizing.money import MINOR_UNITS, rounded_up, unit_of
from sizing.plan import Plan, make_plan
from sizing.price import Price, gross_up, price_of
from sizing.rates import Profit, Rates
from tests.sizing.builders import request, yarn
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check, Within

NOTHING_ON_TOP = Rates(overhead=Decimal(0), margin=Decimal(0))
CENT = Within(0.01, why="rounded up to the cent")


@cache
def _plan() -> Plan:
    return make_plan(request())


def _price(rates: Rates, ball: str = "0") -> Price:
    return price_of(_plan().yarn, yarn(price=ball), _plan().labour, rates)


def _hundred(rates: Rates) -> Price:
    """The price of a hood whose labour is 100 and whose yarn is free."""
    hours = Decimal(str(_plan().labour.minutes)) / 60
    return _price(replace(rates, wage_per_hour=100 / hours))


def _amount(found: Price, name: str) -> float:
    return float(next(line.amount for line in found.lines if line.name == name))


def _markup() -> Price:
    return _hundred(replace(NOTHING_ON_TOP, profit=Profit.MARKUP, markup=Decimal("0.4")))


def _gross() -> Decimal:
    return gross_up(Decimal(2), Decimal("0.065"), Decimal("1.50"), Decimal(0))


def _kept() -> float:
    """What is left of the rounded price when the fee is paid."""
    paid = rounded_up(_gross(), "EUR")
    return float(paid - paid * Decimal("0.065") - Decimal("1.50"))


FEES = replace(
    NOTHING_ON_TOP,
    fee_share=Decimal("0.05"),
    fee_fixed=Decimal("0.30"),
    fee_tax=Decimal("0.20"),
    tax=Decimal("0.19"),
)


def _searched() -> float:
    """The sum that leaves 100 after tax and a fee with tax of its own, by search."""

    def left(paid: float) -> float:
        fee = (0.05 * paid + 0.30) * 1.20
        return paid / 1.19 - fee - 100

    return float(brentq(left, 100, 1000, xtol=1e-12))


def _direct(rates: Rates) -> float:
    """The price before tax for each unit of labour and materials."""
    found = _price(rates, "6.00")
    return float(found.total) / (_amount(found, "yarn") + _amount(found, "labour"))


def _minor(currency: str) -> float:
    return float(-Decimal(unit_of(currency).as_tuple().exponent))


def _unlike() -> float:
    return float(sum(_minor(one) != get_currency_precision(one) for one in MINOR_UNITS))


KEYSTONE = (
    "A rule of thumb that knows neither the shop's costs nor its fees. Our start values, 10 %"
    " overhead and 10 % margin, are for the maker to set; who sells through shops sets more."
)

CHECKS = (
    Check("fee", "Sum that leaves 2 after a fee of 6.5 % and 1.50", sources.FEE, 3.743,
          lambda: float(_gross()), "", Within(0.0005, why="printed to three places"),
          also="test_price.py::test_a_fee_is_grossed_up_so_that_the_net_is_left"),
    Check("fee-kept", "What the rounded sum leaves: no less than 2, no cent more",
          sources.FEE, (2.0, 2.01), _kept, ""),
    Check("fee-tax", "Sum that leaves 100 after 19 % tax and a fee of 5 % and 0.30 with 20 % tax",
          sources.SOLVER, _searched, lambda: float(_hundred(FEES).total), "", CENT,
          digits=6, also="test_price.py::test_the_fee_of_the_fee_is_grossed_up_too"),
    Check("markup", "Cost 100, markup 40 %: the price", sources.MARKUP, 140.0,
          lambda: float(_markup().total), "", CENT, digits=5,
          also="test_price.py::test_a_markup_and_a_margin_of_the_same_number_are_two_prices"),
    Check("markup-margin", "Its margin", sources.MARKUP, 28.57,
          lambda: 100 * _amount(_markup(), "markup") / float(_markup().total), "%",
          Within(0.005, why="printed to two places")),
    Check("margin", "Cost 100, margin 40 %: the price", sources.MARGIN, 100 / (1 - 0.4),
          lambda: float(_hundred(replace(NOTHING_ON_TOP, margin=Decimal("0.4"))).total), "",
          CENT, digits=5),
    Check("wholesale", "Price by labour and materials, our start values, beside wholesale",
          sources.KEYSTONE, 2.0, lambda: _direct(Rates()), "times", Within(share=0.10),
          differs=KEYSTONE),
    Check("retail", "The same beside retail", sources.KEYSTONE, 4.0, lambda: _direct(Rates()),
          "times", Within(share=0.10), differs=KEYSTONE),
    Check("wholesale-set", "The rule, set in our shop: a markup of 100 %, no overhead",
          sources.KEYSTONE, 2.0,
          lambda: _direct(replace(NOTHING_ON_TOP, profit=Profit.MARKUP, markup=Decimal(1))),
          "times", Within(share=0.001, why="rounded up to the cent")),
    *(
        Check(
            f"minor-{code.lower()}",
            f"Decimals of {code}",
            sources.ISO_4217,
            places,
            partial(_minor, code),
            "",
            taken=True,
            also="test_price.py::test_a_currency_is_rounded_to_its_own_unit",
        )
        for code, places in (("EUR", 2.0), ("JPY", 0.0), ("KWD", 3.0))
    ),
    Check("minor-all", f"Currencies of our {len(MINOR_UNITS)} with other decimals", sources.CLDR,
          0.0, _unlike, "", differs="Serbia's dinar: CLDR writes it without the para, which is no"
          " longer coined; ISO 4217 has two decimals, and we follow it."),
)  # fmt: skip
