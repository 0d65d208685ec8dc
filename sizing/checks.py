"""Findings: which number looks wrong, and what was probably meant.

A number outside the usual span is a query; far outside it is a stop. Each slip of the tape
or the pen is tried: the one that leads back nearest to the middle of the span is suggested.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sizing.dogs import Dog, Field, Measurements
from sizing.evidence import Fact, derived, memory, shown
from sizing.profile import HEAVIEST, LIGHTEST, Profile, profile_of
from sizing.ranges import Span, usual
from sizing.units import LengthUnit, millimetres, show_length, show_span


class Severity(StrEnum):
    """How much a finding weighs: a stop blocks the plan until corrected or accepted."""

    NOTE = "note"
    QUERY = "query"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Finding:
    """What is odd about one field, what would be usual, and what was probably meant.

    Attributes:
        field: the field's name on the wire (`weight` among them).
        severity: note, query or stop.
        message: a sentence for the maker.
        expected_low_mm, expected_high_mm: the usual span, or None for a field with no length.
        suggestion_mm: the value probably meant, or None.
        suggestion: the same as text in the order's unit, or None.
        basis: where the span comes from.
    """

    field: str
    severity: Severity
    message: str
    expected_low_mm: float | None
    expected_high_mm: float | None
    suggestion_mm: float | None
    suggestion: str | None
    basis: str


@dataclass(frozen=True, slots=True)
class Slip:
    """A way to go wrong: what was meant, how it reads, and how unlikely it is."""

    meant: float
    why: str
    cost: float


STOP_FACTOR: Final = Fact(
    1.4,
    "factor beyond the span",
    derived("judgement: dogs overshoot a standard's weight by 1.78, a length by its cube root,"
            " 1.21; squared for safety, 1.47, and taken a little less"),
)  # fmt: skip
_PRIOR = derived("judgement: in units of the span's half-width; no count of slips is published")
UNIT_COST: Final = Fact(0.0, "half-widths", _PRIOR)
SWAP_COST: Final = Fact(0.2, "half-widths", _PRIOR)
HALF_COST: Final = Fact(0.3, "half-widths", _PRIOR)
DECIMAL_COST: Final = Fact(0.3, "half-widths", _PRIOR)
DIGIT_COST: Final = Fact(0.6, "half-widths", _PRIOR)
DIGITS_KEPT: Final = Fact(6, "decimals", derived("finer than a tape, coarser than a float's dust"))
TEN: Final = Fact(10, "factor", derived("a decimal place"))
MUZZLE: Final = (
    Fact(0.45, "of the face girth", memory("low end; Chesapeake 0.50 in FCI-Standard 263")),
    Fact(0.70, "of the face girth", derived("FCI-Standards 116 and 264: 0.60 to almost 2/3")),
)
GIRTHS: Final = frozenset({Field.NECK_GIRTH, Field.FACE_GIRTH})
NAMES: Final = {
    Field.NECK_LENGTH: "neck length",
    Field.NECK_GIRTH: "neck girth",
    Field.NAPE_LENGTH: "nape length",
    Field.FACE_GIRTH: "face girth",
}


def _digits_swapped(mm: float, unit: LengthUnit) -> float | None:
    """Return the length with its two whole digits the other way round, or None."""
    one = millimetres(1) if unit is LengthUnit.INCH else TEN.value
    # Rounded first: 24 in is 609.6 mm, and 609.6 / 25.4 is a hair less than 24.
    whole, rest = divmod(round(mm / one, int(DIGITS_KEPT.value)), 1)
    tens, ones = divmod(int(whole), int(TEN.value))
    if not 0 < tens < TEN.value or not ones or tens == ones:
        return None
    return (ones * TEN.value + tens + rest) * one


def _slips(
    field: Field, given: Mapping[Field, float], spans: dict[Field, Span], unit: LengthUnit
) -> Iterator[Slip]:
    """Yield what may have been meant instead of one measurement."""
    mm = given[field]
    inch = millimetres(1) / TEN.value
    written = show_length(mm, unit).rpartition(" ")[0].removesuffix(".0")
    if unit is LengthUnit.CM:
        yield Slip(mm * inch, f"{written} looks like inches", UNIT_COST.value)
    else:
        yield Slip(mm / inch, f"{written} looks like centimetres", UNIT_COST.value)
    for factor in (TEN.value, 1 / TEN.value):
        yield Slip(mm * factor, "the decimal point may be one place off", DECIMAL_COST.value)
    if field in GIRTHS:
        yield Slip(mm * 2, "it may be half the girth, taken flat", HALF_COST.value)
    for other, theirs in given.items():
        if other is not field and spans[other].holds(mm) and not spans[other].holds(theirs):
            yield Slip(theirs, f"it may be swapped with the {NAMES[other]}", SWAP_COST.value)
    swapped = _digits_swapped(mm, unit)
    if swapped:
        yield Slip(swapped, "two digits may be swapped", DIGIT_COST.value)


def _likeliest(span: Span, slips: Iterator[Slip]) -> Slip | None:
    """Return the slip that leads into the span at the least cost."""
    fitting = [slip for slip in slips if span.holds(slip.meant)]
    return min(fitting, key=lambda slip: span.distance(slip.meant) + slip.cost, default=None)


def _muzzle(field: Field, mm: float, span: Span) -> bool:
    """Return whether a face girth looks like one taken round the muzzle."""
    low, high = MUZZLE
    return field is Field.FACE_GIRTH and low.value <= mm / span.centre <= high.value


def _a(name: str) -> str:
    """Return a name with its article: `a Beagle`, `an Akita`, `a Eurasier`."""
    spoken_as_vowel = name.lower().startswith(("a", "e", "i", "o")) and not name.startswith("Eu")
    return f"{'an' if spoken_as_vowel else 'a'} {name}"


def _sentence(
    field: Field, mm: float, span: Span, slip: Slip | None, name: str, unit: LengthUnit
) -> str:
    size = "small" if mm < span.low else "large"
    said = f"{show_length(mm, unit)} is {size} for the {NAMES[field]} of {_a(name)}."
    said += f" {show_span(span.low, span.high, unit)} would be usual."
    if slip:
        why = slip.why[0].upper() + slip.why[1:]
        said += f" {why}: {show_length(slip.meant, unit)}?"
    if _muzzle(field, mm, span):
        # Half a girth and a muzzle's girth are alike, so this is asked beside any suggestion.
        said += " Was the tape round the muzzle? It goes under the chin and over the head."
    elif not slip:
        said += " Please have it measured again."
    return said


def _check_field(
    field: Field,
    given: Mapping[Field, float],
    spans: dict[Field, Span],
    profile: Profile,
    unit: LengthUnit,
) -> Finding | None:
    mm, span = given[field], spans[field]
    if span.holds(mm):
        return None
    far = STOP_FACTOR.value
    stop = mm < span.low / far or mm > span.high * far
    slip = _likeliest(span, _slips(field, given, spans, unit))
    return Finding(
        field=field.value,
        severity=Severity.STOP if stop else Severity.QUERY,
        message=_sentence(field, mm, span, slip, profile.name, unit),
        expected_low_mm=span.low,
        expected_high_mm=span.high,
        suggestion_mm=slip.meant if slip else None,
        suggestion=show_length(slip.meant, unit) if slip else None,
        basis=span.basis,
    )


def check(dog: Dog, measurements: Measurements, unit: LengthUnit) -> tuple[Finding, ...]:
    """Return the findings on a dog's four measurements, in the order of the fields."""
    return check_given(dog, {field: measurements.of(field) for field in Field}, unit)


def check_given(dog: Dog, given: Mapping[Field, float], unit: LengthUnit) -> tuple[Finding, ...]:
    """Return the findings on those measurements in mm that are known by now."""
    profile = profile_of(dog)
    spans = {field: usual(profile, field, given) for field in given}
    found = [_check_field(field, given, spans, profile, unit) for field in given]
    return (*_check_dog(dog, profile), *(finding for finding in found if finding))


def _remark(field: str, severity: Severity, message: str, basis: str) -> Finding:
    return Finding(field, severity, message, None, None, None, None, basis)


def _check_dog(dog: Dog, profile: Profile) -> Iterator[Finding]:
    """Yield findings on the breed and the weight."""
    breed = profile.breed
    if dog.breed and breed is None:
        message = f"“{shown(dog.breed)}” is not in the breed table; sizes are checked without it."
        yield _remark("breed", Severity.NOTE, message, "the breed table")
    if dog.weight_kg is None:
        message = "With the dog's weight a wrong number is found more surely. Ask for it."
        yield _remark("weight", Severity.NOTE, message, "girths follow weight")
    elif breed:
        low, high = breed.weight_kg
        if not low * LIGHTEST.value <= dog.weight_kg <= high * HEAVIEST.value:
            message = (
                f"{dog.weight_kg:.3g} kg is far from the {low:g} to {high:g} kg of"
                f" {_a(breed.name)}. Is the weight right, and the breed?"
            )
            yield _remark("weight", Severity.QUERY, message, f"{breed.cite}; {LIGHTEST.origin}")
