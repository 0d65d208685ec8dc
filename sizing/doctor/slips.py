"""The slips that are weighed, and how often each is thought to happen.

Priors are judgement: no count of slips by dog owners is published. What matters is their
order; a prior ten times off moves a threshold by less than one spread.

A slip maps the length meant to the length written. Its density for what was written is the
density of what was meant, times how much the map squeezes ln lengths together: 1 for a
constant factor and for a swap; written to meant for digits (both stand on the same marks of
the tape) and, where the nape was measured in, written to collar.
"""

from collections.abc import Iterator, Mapping
from itertools import combinations
from math import log
from typing import Final, NamedTuple

from sizing.doctor.findings import Kind
from sizing.doctor.model import GIRTHS
from sizing.dogs import Field
from sizing.evidence import Fact, derived
from sizing.units import MM_PER_CM, LengthUnit, millimetres


def _prior(chance: float, why: str) -> Fact:
    return Fact(
        chance, "of orders, each field or pair it can happen to", derived(f"judgement: {why}")
    )


_UNIT = "two scales are printed on most tapes"
_POINT = "a point lost or misplaced is seen by most who type it"
PRIORS: Final = {
    Kind.INCHES: _prior(0.004, _UNIT),
    Kind.CENTIMETRES: _prior(0.004, _UNIT),
    Kind.ALL_INCHES: _prior(0.005, "one who thinks in inches does so four times"),
    Kind.ALL_CENTIMETRES: _prior(0.005, "one who thinks in centimetres does so four times"),
    Kind.TEN_TIMES_LESS: _prior(0.002, _POINT),
    Kind.TEN_TIMES_MORE: _prior(0.003, _POINT + "; millimetres among them"),
    Kind.DIGITS: _prior(0.002, "a slip of the pen or the ear"),
    Kind.SWAPPED: _prior(0.0015, "four boxes with names that are alike"),
    Kind.HALF: _prior(0.004, "garments are measured flat"),
    Kind.MUZZLE: _prior(0.005, "a face girth can be understood so"),
    Kind.SHOULDER: _prior(0.006, "where a neck ends is not marked"),
    Kind.NAPE_INCLUDED: _prior(0.004, "where a neck ends is not marked"),
    Kind.UNKNOWN: _prior(0.002, "a misread or misheard number, another dog's, a slack tape"),
    Kind.SIZE: _prior(0.01, "a guessed weight, pounds for kilograms, a pup, a mix"),
}
"""How often each slip is thought to happen."""
BOTH_GIRTHS: Final = Fact(
    0.3,
    "of the chance for one girth",
    derived("judgement: who takes one girth flat or in inches may take the other so, too"),
)

SHORTEST_READ: Final = Fact(1e-6, "mm", derived("six decimals of a millimetre are read, no more"))
SHORTEST_WRITTEN: Final = Fact(10, "mm", derived("judgement: a centimetre, the least one writes"))
LONGEST_WRITTEN: Final = Fact(3000, "mm", derived("the longest length that is read at all"))
DIGITS_KEPT: Final = Fact(6, "decimals", derived("finer than a tape, coarser than a float's dust"))
TEN: Final = Fact(10, "factor", derived("a decimal place"))

_MARKS = derived(
    "judgement on how numbers end: inches are divided in halves, quarters and eighths, centimetres"
    " in tenths (NIST Handbook 44, 5.52), and people read to the half or the quarter"
)
EIGHTHS: Final = Fact(8, "parts of an inch", _MARKS)
QUARTERS: Final = Fact(4, "parts of an inch", _MARKS)
ON_QUARTER: Final = Fact(10, "times as likely from inches as from centimetres", _MARKS)
ON_HALF: Final = Fact(0.6, "times as likely from inches as from centimetres", _MARKS)
OFF_MARKS: Final = Fact(0.1, "times as likely to have been read in that unit", _MARKS)
FINER: Final = Fact(
    3,
    "times as likely to be a tenth of what was read",
    derived("judgement: people read to the half; a tenth of that is finer, as a number of mm is"),
)

INCH: Final = millimetres(1)
_CM: Final = MM_PER_CM.value
_DIGITS_KEPT: Final = int(DIGITS_KEPT.value)
_OFF_MARKS: Final = log(OFF_MARKS.value)
_ON_HALF: Final = log(ON_HALF.value)
_ON_QUARTER: Final = log(ON_QUARTER.value)
_FINER: Final = log(FINER.value)
_BOTH_GIRTHS: Final = log(BOTH_GIRTHS.value)
_LOG_UNIT: Final = log(INCH / MM_PER_CM.value)
FACTORS: Final = {
    Kind.INCHES: _LOG_UNIT,
    Kind.CENTIMETRES: -_LOG_UNIT,
    Kind.TEN_TIMES_LESS: log(TEN.value),
    Kind.TEN_TIMES_MORE: -log(TEN.value),
}
_FIELD_MOVES: Final = {
    field: tuple((kind, ((field, factor),)) for kind, factor in FACTORS.items()) for field in Field
}
"""What each slip with a constant factor adds to ln of a field."""
_FLAT: Final = {field: (field, log(2)) for field in GIRTHS}
_ALL: Final = {Kind.ALL_INCHES: _LOG_UNIT, Kind.ALL_CENTIMETRES: -_LOG_UNIT}
_ONE: Final = {Kind.ALL_INCHES: Kind.INCHES, Kind.ALL_CENTIMETRES: Kind.CENTIMETRES}


class Slip(NamedTuple):
    """A slip that tells what was meant.

    Attributes:
        kind: what happened.
        moves: the fields, each with what to add to ln of the length written.
        measure: the log of how much the slip squeezes ln lengths together, and of how much rarer
            it is than its kind.
        marks: the log of how much the way the number ends speaks for the slip.
    """

    kind: Kind
    moves: tuple[tuple[Field, float], ...]
    measure: float = 0.0
    marks: float = 0.0


_Marks = Mapping[Field, Mapping[Kind, float]]
"""How much the end of each number speaks for each slip, as `Slip.marks`."""


def _on(number: float, parts: float) -> bool:
    """Return whether a number is whole when counted in parts, but for a float's dust."""
    return not round(number * parts, _DIGITS_KEPT) % 1


def two_swapped(number: float) -> float | None:
    """Return a number of two digits with them the other way round, or None."""
    whole, rest = divmod(number, 1)
    tens, ones = divmod(int(whole), int(TEN.value))
    if not 0 < tens < TEN.value or not ones or tens == ones:
        return None
    return ones * TEN.value + tens + rest


def digits_swapped(mm: float, unit: LengthUnit) -> float | None:
    """Return the length in mm with its first two digits the other way round, or None."""
    one = INCH if unit is LengthUnit.INCH else MM_PER_CM.value
    if not _on(mm / one, EIGHTHS.value if unit is LengthUnit.INCH else TEN.value):
        return None  # not as it was written: 36 in, say, in an order that speaks cm
    if unit is LengthUnit.CM and mm < one * TEN.value:
        one /= TEN.value  # 9.5 for 5.9; inches are written in fractions, with no second digit
    # Rounded first: 24 in is 609.6 mm, and 609.6 / 25.4 is a hair less than 24.
    swapped = two_swapped(round(mm / one, int(DIGITS_KEPT.value)))
    return swapped and swapped * one


def _of_inches(number: float) -> float:
    """Return how much a number of centimetres looks like one of inches."""
    if not _on(number, EIGHTHS.value):
        return _OFF_MARKS
    return _ON_HALF if _on(number, 2) or not _on(number, QUARTERS.value) else _ON_QUARTER


def marks_of(mm: float) -> dict[Kind, float]:
    """Return the log of how much a number's end speaks for each unit it may have been read in."""
    cm, inches = mm / _CM, mm / INCH
    whole = _on(cm, 2) or _on(inches, QUARTERS.value)
    return {
        Kind.INCHES: _of_inches(cm),
        Kind.CENTIMETRES: 0.0 if _on(inches, TEN.value) else _OFF_MARKS,
        Kind.TEN_TIMES_LESS: 0.0 if whole else _FINER,
        Kind.TEN_TIMES_MORE: 0.0,
    }


def _of_field(field: Field, mm: float, unit: LengthUnit, marks: _Marks) -> Iterator[Slip]:
    ends = marks[field]
    for kind, moves in _FIELD_MOVES[field]:
        yield Slip(kind, moves, 0.0, ends[kind])
    meant = digits_swapped(mm, unit)
    if meant:
        move = log(meant / mm)
        yield Slip(Kind.DIGITS, ((field, move),), -move)
    if field in GIRTHS:
        yield Slip(Kind.HALF, (_FLAT[field],))


def _both_girths(given: Mapping[Field, float], marks: _Marks) -> Iterator[Slip]:
    """Yield the slips of one who takes both girths alike: in the other unit, or flat."""
    girths = [field for field in given if field in GIRTHS]
    if len(girths) == len(GIRTHS):
        for kind in (Kind.INCHES, Kind.CENTIMETRES):
            ends = sum([marks[field][kind] for field in girths])
            factor = FACTORS[kind]
            yield Slip(kind, tuple([(field, factor) for field in girths]), _BOTH_GIRTHS, ends)
        yield Slip(Kind.HALF, tuple([_FLAT[field] for field in girths]), _BOTH_GIRTHS)


def _nape_included(given: Mapping[Field, float]) -> Iterator[Slip]:
    nape, written = given.get(Field.NAPE_LENGTH), given.get(Field.NECK_LENGTH)
    if nape and written and written - nape >= SHORTEST_WRITTEN.value:
        move = log((written - nape) / written)
        yield Slip(Kind.NAPE_INCLUDED, ((Field.NECK_LENGTH, move),), -move)


def slips(given: Mapping[Field, float], unit: LengthUnit) -> Iterator[Slip]:
    """Yield the slips that would tell what was meant by lengths given in mm."""
    marks = {field: marks_of(mm) for field, mm in given.items()}
    for field, mm in given.items():
        yield from _of_field(field, mm, unit, marks)
    for one, other in combinations(given, 2):
        move = log(given[other] / given[one])
        if move:
            yield Slip(Kind.SWAPPED, ((one, move), (other, -move)))
    yield from _both_girths(given, marks)
    yield from _nape_included(given)
    if len(given) > 1:
        for kind, factor in _ALL.items():
            # One who reads in whole units does so four times: the ends count once, and only
            # against it, where none of them is on that tape.
            ends = max([of_field[_ONE[kind]] for of_field in marks.values()])
            yield Slip(kind, tuple([(field, factor) for field in given]), 0.0, min(0.0, ends))
