"""Lengths and weights as people write them.

pint owns the units and their conversion, exactly, in fractions. It does not read the
text: its parser takes `14 1/2 in` for 7 in and evaluates arithmetic, so the notation is
read here, strictly, and what is not surely understood is refused.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cache, lru_cache
from math import ceil, floor
from typing import Final

from sizing.errors import NotationError
from sizing.evidence import Fact, derived, practice, published


class LengthUnit(StrEnum):
    """The unit in which a buyer speaks; a bare number is read in it."""

    CM = "cm"
    INCH = "in"


@dataclass(frozen=True, slots=True)
class Reading:
    """A length or weight as given and as understood.

    Attributes:
        text: the text as given, trimmed.
        value: millimetres for a length, kilograms for a weight.
    """

    text: str
    value: float


LONGEST_TEXT: Final = Fact(40, "characters", derived("longest sensible notation, doubled"))
LONGEST_LENGTH: Final = Fact(
    3000, "mm", derived("well over the girth of any dog, so that only nonsense is refused here")
)
HEAVIEST: Final = Fact(
    165.0,
    "kg",
    derived("heaviest upper limit in the breed table, 109 kg, half as much again, rounded"),
)
LIGHTEST: Final = Fact(
    0.2, "kg", derived("a fifth of the smallest breed's lower limit, 1 kg: a puppy of that breed")
)
MM_PER_CM: Final = Fact(10, "mm", derived("definition"))
MM_PER_INCH: Final = Fact(
    25.4, "mm", published("NIST Special Publication 811, appendix B: exactly, since 1959")
)
CM_STEP: Final = Fact(0.5, "mm", derived("a tape is read to half a millimetre at best"))
INCH_STEP: Final = Fact(
    8.0, "steps per inch", published("NIST Handbook 44, 5.52: inches in binary submultiples")
)
ROUGH_INCH_STEP: Final = Fact(4.0, "steps per inch", practice("a quarter is near enough to speak"))
TAPE_DIVISIONS: Final = tuple(
    Fact(n, "parts of an inch", published("NIST Handbook 44, 5.52: binary submultiples"))
    for n in (2, 4, 8, 16, 32, 64)
)

LENGTH_EXAMPLE: Final = "36.8 cm, 368 mm or 14 1/2 in"
WEIGHT_EXAMPLE: Final = "12 kg, 12.5 kg or 26 lb 4 oz"

_VULGAR: Final = {
    "\u00bd": "1/2", "\u00bc": "1/4", "\u00be": "3/4",
    "\u215b": "1/8", "\u215c": "3/8", "\u215d": "5/8", "\u215e": "7/8",
}  # fmt: skip
_NUMBER: Final = r"(?:[0-9]{1,6}(?:[.,][0-9]{1,6})?)"
_FRACTION: Final = r"(?:[0-9]{1,3}/[0-9]{1,2})"
_MIXED: Final = rf"(?:[0-9]{{1,4}}(?: - |-| ){_FRACTION}|{_FRACTION}|{_NUMBER})"
_INCH: Final = r"(?:inches|inch|in\.?|\"|'')"
_FOOT: Final = r"(?:feet|foot|ft\.?|')"
_POUND: Final = r"(?:pounds|pound|lbs\.?|lb\.?)"
_OUNCE: Final = r"(?:ounces|ounce|oz\.?)"
_METRIC: Final = (
    r"(?:centimetres?|centimeters?|cm\.?|millimetres?|millimeters?|mm\.?|metres?|meters?|m)"
)
_MASS: Final = r"(?:kilograms?|kilos?|kgs?\.?|grams?|g)"

_LENGTH_FORMS: Final = (
    re.compile(rf"(?P<a>{_NUMBER}) ?(?P<u>{_METRIC})"),
    re.compile(rf"(?P<a>{_MIXED}) ?(?P<u>{_INCH})"),
    re.compile(rf"(?P<a>{_NUMBER}) ?(?P<u>{_FOOT})"),
    re.compile(rf"(?P<a>[0-9]{{1,2}}) ?(?P<u>{_FOOT}) ?(?P<b>{_MIXED}) ?(?P<v>{_INCH})"),
    re.compile(rf"(?P<a>{_MIXED})"),
)
_WEIGHT_FORMS: Final = (
    re.compile(rf"(?P<a>{_NUMBER}) ?(?P<u>{_MASS})"),
    re.compile(rf"(?P<a>{_MIXED}) ?(?P<u>{_POUND})"),
    re.compile(rf"(?P<a>{_MIXED}) ?(?P<u>{_OUNCE})"),
    re.compile(rf"(?P<a>[0-9]{{1,3}}) ?(?P<u>{_POUND}) ?(?P<b>{_MIXED}) ?(?P<v>{_OUNCE})"),
)


@cache
def _factor(unit: str, base: str) -> Fraction:
    """Return how many of `base` one `unit` is, exactly, as pint defines it."""
    from sizing.registry import UNITS  # noqa: PLC0415 - it says why

    quantity = UNITS.Quantity(Fraction(1), unit)
    return Fraction(quantity.m_as(base))


@cache
def _inch() -> Fraction:
    """Return the millimetres of an inch, exactly."""
    return Fraction(str(MM_PER_INCH.value))


def _pint_name(written: str) -> str:
    """Return pint's name for a unit as written."""
    word = written.rstrip(".")
    plain = {'"': "inch", "''": "inch", "in": "inch", "inches": "inch", "'": "foot",
             "ft": "foot", "feet": "foot", "lbs": "pound", "lb": "pound", "pounds": "pound",
             "oz": "ounce", "ounces": "ounce", "kilo": "kilogram", "kilos": "kilogram",
             "kg": "kilogram", "g": "gram", "cm": "centimeter", "mm": "millimeter",
             "m": "meter"}  # fmt: skip
    if word in plain:
        return plain[word]
    return word.removesuffix("s").replace("metre", "meter")


def _tidy(text: str) -> str:
    """Return the text with one form for spaces, quotes, fractions and letters."""
    for sign, plain in _VULGAR.items():
        text = text.replace(sign, f" {plain}")
    text = text.replace("\u2044", "/").replace("\u2033", '"').replace("\u201d", '"')
    text = text.replace("\u2032", "'").replace("\u2019", "'").replace("\u2013", "-")
    return " ".join(text.split()).lower().replace("- ", "-").replace(" -", "-")


def _read_number(written: str, text: str, example: str) -> Fraction:
    """Return the number written plainly, with a comma, or with a fraction."""
    if re.search(r",[0-9]{3}$", written):
        reason = f"“{text}” could mean thousands or decimals."
        raise NotationError(text, reason, example)
    whole, _, rest = written.replace(" ", "-").replace("--", "-").rpartition("-")
    if "/" not in rest:
        return Fraction(rest.replace(",", "."))
    above, below = (int(part) for part in rest.split("/"))
    if below not in {step.value for step in TAPE_DIVISIONS} or not 0 < above < below:
        reason = f"“{text}” has a fraction that is on no tape (halves, quarters, eighths …)."
        raise NotationError(text, reason, example)
    return Fraction(whole or "0") + Fraction(above, below)


def _match(text: str, forms: tuple[re.Pattern[str], ...], example: str) -> re.Match[str]:
    """Return the one form that the whole text has, or refuse it."""
    if len(text) > LONGEST_TEXT.value:
        raise NotationError(text, "That is too long for a measurement.", example)
    tidy = _tidy(text)
    for form in forms:
        found = form.fullmatch(tidy)
        if found:
            return found
    shown = f"“{text.strip()}” is not a measurement that can be read." if text.strip() else (
        "The measurement is missing."
    )  # fmt: skip
    raise NotationError(text, shown, example)


def _total(found: re.Match[str], text: str, base: str, bare: str, example: str) -> Fraction:
    """Return the whole of a matched notation in the base unit."""
    parts = found.groupdict()
    unit = _pint_name(parts["u"]) if parts.get("u") else bare
    total = _read_number(parts["a"], text, example) * _factor(unit, base)
    if parts.get("b"):
        small = _read_number(parts["b"], text, example)
        step = _factor(_pint_name(parts["v"]), base)
        if small * step >= _factor(unit, base):
            reason = f"“{text}”: the smaller part is as much as a whole {unit} or more."
            raise NotationError(text, reason, example)
        total += small * step
    return total


@lru_cache  # a page of an order reads the same lengths many times
def read_length(text: str, unit: LengthUnit) -> Reading:
    """Read a length as an owner or a maker writes it.

    Args:
        text: `36.8 cm`, `36,8 cm`, `368 mm`, `14 1/2 in`, `14-1/2"`, `14½ in`,
            `1 ft 2 in`, or a bare number in the order's unit.
        unit: the order's unit, for a bare number.

    Returns:
        The text as given beside the length in millimetres.

    Raises:
        NotationError: if the text is not surely one length above zero.
    """
    found = _match(text, _LENGTH_FORMS, LENGTH_EXAMPLE)
    if "/" in found["a"] and not found.groupdict().get("u") and unit is LengthUnit.CM:
        reason = f"“{text.strip()}” has a fraction and no unit. Is it inches?"
        raise NotationError(text, reason, LENGTH_EXAMPLE)
    bare = "inch" if unit is LengthUnit.INCH else "centimeter"
    total = _total(found, text.strip(), "millimeter", bare, LENGTH_EXAMPLE)
    if not 0 < total <= LONGEST_LENGTH.value:
        reason = f"“{text.strip()}” is not a length that a dog can have."
        raise NotationError(text, reason, LENGTH_EXAMPLE)
    return Reading(text.strip(), float(total))


def read_weight(text: str) -> Reading:
    """Read a dog's weight: `12 kg`, `12,5 kg`, `26 lb 4 oz`.

    Returns:
        The text as given beside the weight in kilograms.

    Raises:
        NotationError: if the text is not surely one weight above zero, with its unit.
    """
    found = _match(text, _WEIGHT_FORMS, WEIGHT_EXAMPLE)
    total = _total(found, text.strip(), "kilogram", "kilogram", WEIGHT_EXAMPLE)
    if not Fraction(str(LIGHTEST.value)) <= total <= HEAVIEST.value:
        reason = f"“{text.strip()}” is not a weight that a dog can have."
        raise NotationError(text, reason, WEIGHT_EXAMPLE)
    return Reading(text.strip(), float(total))


def show_length(mm: float, unit: LengthUnit) -> str:
    """Return a length in the order's unit: cm to 0.5 mm, or inches to the nearest eighth."""
    if unit is LengthUnit.INCH:
        return f"{_eighths(mm)} in"
    cm = round(mm / CM_STEP.value) * Decimal(str(CM_STEP.value)) / int(MM_PER_CM.value)
    return f"{f'{cm:.2f}'.removesuffix('0')} cm"


def four_figures(number: float) -> str:
    """Return a number to four figures as people write it, never as a power of ten."""
    return f"{float(f'{number:.4g}'):.10g}"


def show_span(low_mm: float, high_mm: float, unit: LengthUnit) -> str:
    """Return `31 to 57 cm`: a span in whole cm or quarter inches, as one speaks of it.

    It is rounded inwards, so that a length outside the span never looks as if it were inside.
    A span narrower than a step is shown to the ends that `show_length` would show.
    """
    if unit is LengthUnit.INCH:
        step = _inch() / int(ROUGH_INCH_STEP.value)
    else:
        step = Fraction(int(MM_PER_CM.value))
    low, high = ceil(Fraction(low_mm) / step) * step, floor(Fraction(high_mm) / step) * step
    if low > high:
        low, high = Fraction(low_mm), Fraction(high_mm)
    ends = (show_length(float(end), unit) for end in (low, high))
    first, last = (end.removesuffix(f" {unit}").removesuffix(".0") for end in ends)
    return f"{first} to {last} {unit}"


def _eighths(mm: float) -> str:
    """Return inches as a whole number and a reduced fraction."""
    inches = Fraction(mm) / _inch()
    eighths = round(inches * int(INCH_STEP.value))
    whole, part = divmod(eighths, int(INCH_STEP.value))
    if not part:
        return str(whole)
    fraction = Fraction(part, int(INCH_STEP.value))
    return f"{whole} {fraction}" if whole else str(fraction)


def inches(mm: float) -> float:
    """Return millimetres as inches."""
    return float(Fraction(mm) / _inch())


def millimetres(inches_: float) -> float:
    """Return inches as millimetres."""
    return float(Fraction(inches_) * _inch())
