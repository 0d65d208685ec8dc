"""The sums of a document about money, in exact amounts and then in words."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from documents.bill_lines import tax_of
from documents.bill_words import TOTALS, Kind
from documents.billing import Billing
from documents.language import Language
from documents.text import Cleaner
from sizing.errors import ValueOutOfRangeError
from sizing.price import Price
from sizing.rates import Rates, TaxQuoted

Pair = tuple[str, str]
"""A name and the amount or fact beside it."""


@dataclass(frozen=True, slots=True)
class Sums:
    """The sums over all hoods of a document; `deposit` is 0 where none is asked."""

    total: Decimal
    tax: Decimal
    deposit: Decimal
    currency: str


def sums_of(prices: Sequence[Price]) -> Sums:
    """Return the sums of prices.

    Raises:
        ValueOutOfRangeError: if there is no price, or their currencies differ.
    """
    currencies = {price.currency for price in prices}
    if len(currencies) != 1:
        reason = "A document about money needs hoods, all priced in one currency."
        raise ValueOutOfRangeError("currency", reason)
    return Sums(
        total=sum((price.total for price in prices), Decimal(0)),
        tax=sum((tax_of(price) for price in prices), Decimal(0)),
        deposit=sum((price.deposit or Decimal(0) for price in prices), Decimal(0)),
        currency=currencies.pop(),
    )


def part_of(sums: Sums, amount: Decimal) -> Sums:
    """Return the sums of a part of the total: its tax is in it as in the whole."""
    tax = (sums.tax * amount / sums.total if sums.total else Decimal(0)).quantize(amount)
    return Sums(total=amount, tax=tax, deposit=Decimal(0), currency=sums.currency)


def money(amount: Decimal, sums: Sums, said: Language) -> str:
    """Return an amount with its currency, its spaces plain ones."""
    # A currency's sign that the fonts lack is shown as missing; its code is never.
    cleaner = Cleaner()
    text = cleaner.line(said.money(amount, sums.currency), "money", 60)
    return f"{said.number(amount)} {sums.currency}" if cleaner.warnings else text


def _taxed(
    sums: Sums, rates: Rates, shown: Callable[[Decimal], str], said: Language
) -> list[Pair]:
    if not (sums.tax or rates.tax):
        return []
    percent = said.number((rates.tax * 100).normalize())
    form = (
        said.say("Tax {percent} %, in the total", percent=percent)
        if rates.tax_quoted is TaxQuoted.INCLUSIVE
        else said.say("Tax {percent} %, on top", percent=percent)
    )
    return [(said.say("Before tax"), shown(sums.total - sums.tax)), (form, shown(sums.tax))]


def _quoted(sums: Sums, shown: Callable[[Decimal], str], said: Language) -> Iterator[Pair]:
    if sums.deposit:
        yield said.say("Deposit, before the work begins"), shown(sums.deposit)
        yield said.say("Balance, before the hood is sent"), shown(sums.total - sums.deposit)


def _invoiced(
    sums: Sums, billing: Billing, shown: Callable[[Decimal], str], said: Language
) -> Iterator[Pair]:
    if sums.deposit and not billing.paid:
        yield said.say("Of this, deposit before the work begins"), shown(sums.deposit)
    if billing.paid:
        yield _paid(billing, said), shown(billing.paid)
    left = sums.total - billing.paid
    if left < 0:
        yield said.say("Paid too much, to be paid back"), shown(-left)
    else:
        yield said.say("Still to pay"), shown(left)


def _paid(billing: Billing, said: Language) -> str:
    if billing.paid_on is None:
        return said.say("Paid")
    return said.say("Paid on {date}", date=said.date(billing.paid_on))


def _credited(billing: Billing, shown: Callable[[Decimal], str], said: Language) -> Iterator[Pair]:
    if billing.paid:
        yield _paid(billing, said), shown(billing.paid)
    back = billing.paid if billing.back is None else billing.back
    yield said.say("To be paid back to you"), shown(back)


def totals_of(
    kind: Kind, sums: Sums, rates: Rates, billing: Billing, said: Language
) -> tuple[tuple[Pair, ...], Pair, tuple[Pair, ...]]:
    """Return what stands before the total, the total, and what stands after it."""

    def shown(amount: Decimal) -> str:
        return money(amount, sums, said)

    if kind is Kind.QUOTE:
        after = _quoted(sums, shown, said)
    elif kind is Kind.CREDIT:
        after = _credited(billing, shown, said)
    else:
        after = _invoiced(sums, billing, shown, said)
    total = (said.say(TOTALS[kind]), shown(sums.total))
    return tuple(_taxed(sums, rates, shown, said)), total, tuple(after)
