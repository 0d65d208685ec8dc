"""The lines of a price as a buyer reads them; they add up as the price itself does."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from documents.billing import Detail
from documents.language import Language, mark
from documents.text import Cleaner
from sizing.price import Line, Price

LONGEST_EXTRA: Final = 60
_LABOUR: Final = "labour"
_WORKSHOP: Final = mark("Running the workshop")
_NAMES: Final = {
    "yarn": mark("Yarn"),
    _LABOUR: mark("Work by hand"),
    "discount": mark("Discount"),
}


@dataclass(frozen=True, slots=True)
class Amount:
    """An exact amount and what it is for; `typed` tells that the maker named it."""

    name: str
    amount: Decimal
    typed: bool = False


def tax_of(price: Price) -> Decimal:
    """Return the tax in a price; 0 where there is none."""
    return sum((line.amount for line in _split(price)[1] if line.name == "tax"), Decimal(0))


def _split(price: Price) -> tuple[tuple[Line, ...], tuple[Line, ...]]:
    """Return the yarn and the extras, then the rest: an extra may bear any name."""
    names = [line.name for line in price.lines]
    last = max((place for place, name in enumerate(names) if name == _LABOUR), default=1)
    return price.lines[:last], price.lines[last:]


def _grouped(price: Price) -> Iterator[Amount]:
    materials, rest = _split(price)
    for place, line in enumerate(materials):
        yield Amount(line.name if place else _NAMES["yarn"], line.amount, typed=place > 0)
    own = [line for line in rest if line.name in _NAMES]
    shared = [line.amount for line in rest if line.name not in {*_NAMES, "tax"}]
    yield from (Amount(_NAMES[line.name], line.amount) for line in own if line.amount >= 0)
    if shared:
        yield Amount(_WORKSHOP, sum(shared, Decimal(0)))
    yield from (Amount(_NAMES[line.name], line.amount) for line in own if line.amount < 0)


def _summed(price: Price) -> Iterator[Amount]:
    off = sum((line.amount for line in _split(price)[1] if line.name == "discount"), Decimal(0))
    yield Amount(mark("Hood, made to measure"), price.total - tax_of(price) - off)
    if off:
        yield Amount(_NAMES["discount"], off)


def amounts_of(price: Price, detail: Detail) -> tuple[Amount, ...]:
    """Return the lines before tax; they add up to the total less the tax, exactly."""
    return tuple(_grouped(price) if detail is Detail.GROUPED else _summed(price))


def name_of(amount: Amount, cleaner: Cleaner, language: Language) -> str:
    """Return what a line is called: translated, or cleaned where it was typed."""
    if amount.typed:
        return cleaner.line(amount.name, "extra", LONGEST_EXTRA)
    return language.say(amount.name)
