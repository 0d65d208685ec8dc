"""Money: Decimal, ISO 4217 codes, rounded to the currency's smallest unit."""

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived, published, shown

_ISO = published("ISO 4217: minor units of the currency")
MINOR_UNITS: Final = {
    **{code: Fact(2, "decimals", _ISO) for code in (
        "AUD", "BGN", "BRL", "CAD", "CHF", "CZK", "DKK", "EUR", "GBP", "HUF", "ILS", "INR",
        "MXN", "NOK", "NZD", "PLN", "RON", "RSD", "SEK", "SGD", "TRY", "UAH", "USD", "ZAR",
    )},
    **{code: Fact(0, "decimals", _ISO) for code in ("CLP", "ISK", "JPY", "KRW")},
    **{code: Fact(3, "decimals", _ISO) for code in ("BHD", "KWD", "OMR", "TND")},
}  # fmt: skip
MOST_MONEY: Final = Fact(
    1_000_000,
    "currency units",
    derived("a guard against a slip of the keys; an hour's least wage is over 10 000 won"),
)
DUST_PLACES: Final = Fact(
    9, "decimals of a unit", derived("far finer than a cent, far coarser than 28 digits' last")
)
_DUST: Final = Decimal(1).scaleb(-int(DUST_PLACES.value))


_UNITS: Final = {code: Decimal(1).scaleb(-int(fact.value)) for code, fact in MINOR_UNITS.items()}


def unit_of(currency: str) -> Decimal:
    """Return the smallest unit of a currency.

    Raises:
        ValueOutOfRangeError: if the currency is not known.
    """
    if currency not in MINOR_UNITS:
        reason = f"Currency “{shown(currency)}” is not known. Use an ISO 4217 code such as EUR."
        raise ValueOutOfRangeError("currency", reason)
    return _UNITS[currency]


def rounded(amount: Decimal, currency: str) -> Decimal:
    """Return an amount rounded to the nearest unit, half to even."""
    return amount.quantize(unit_of(currency), rounding=ROUND_HALF_EVEN)


def rounded_up(amount: Decimal, currency: str) -> Decimal:
    """Return an amount rounded up to a whole unit; the dust of a division is no amount."""
    unit = unit_of(currency)
    return amount.quantize(unit * _DUST).quantize(unit, rounding=ROUND_CEILING)


def shared_out(
    amounts: tuple[Decimal, ...], total: Decimal, currency: str
) -> tuple[tuple[Decimal, ...], Decimal]:
    """Return amounts in whole units, each within a unit of its own value, and what is left.

    The largest remainders are rounded up first (Hamilton's method). An amount that is whole
    stays as it is, so that a 0 is never a cent.

    Args:
        amounts: exact.
        total: a whole number of units, what the amounts and what is left add up to.
        currency: ISO 4217 code.
    """
    unit = unit_of(currency)
    exact = [amount.quantize(unit * _DUST) for amount in amounts]
    whole = [amount.quantize(unit, rounding=ROUND_FLOOR) for amount in exact]
    left = total - sum(whole, Decimal(0))
    by_remainder = sorted(range(len(exact)), key=lambda place: whole[place] - exact[place])
    for place in by_remainder:
        if left < unit or whole[place] == exact[place]:
            break
        whole[place] += unit
        left -= unit
    return tuple(whole), left
