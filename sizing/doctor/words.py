"""Saying it: to the maker in one finding, to the owner in one kind message."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from sizing.doctor.findings import Explanation, Kind
from sizing.doctor.slips import INCH
from sizing.doctor.verdict import Usual, of_no_dog, suggestion
from sizing.dogs import Field
from sizing.evidence import Fact, practice
from sizing.units import MM_PER_CM, ROUGH_INCH_STEP, LengthUnit, show_length, show_span

NAMES: Final = {
    Field.NECK_LENGTH: "neck length",
    Field.NECK_GIRTH: "neck girth",
    Field.NAPE_LENGTH: "nape length",
    Field.FACE_GIRTH: "face girth",
}
_PLACES: Final = {
    Field.NECK_LENGTH: ("neck", "along it, only as far as the collar shall reach"),
    Field.NECK_GIRTH: ("neck", "all the way round, where the collar will lie"),
    Field.NAPE_LENGTH: ("nape", "up the back of the head, from the neck to the crown"),
    Field.FACE_GIRTH: ("face", "all the way round, under the chin and over the top of the head"),
}
_WHY: Final = {
    Kind.INCHES: "{number} looks like inches: {meant}?",
    Kind.CENTIMETRES: "{number} looks like centimetres: {meant}?",
    Kind.ALL_INCHES: "All the numbers look like inches; {number} would be {meant}?",
    Kind.ALL_CENTIMETRES: "All the numbers look like centimetres; {number} would be {meant}?",
    Kind.TEN_TIMES_LESS: "The decimal point may be one place off: {meant}?",
    Kind.TEN_TIMES_MORE: "The decimal point may be one place off: {meant}?",
    Kind.DIGITS: "Two digits may be swapped: {meant}?",
    Kind.SWAPPED: "It may be swapped with the {other}: {meant}?",
    Kind.HALF: "It may be half the girth, taken flat: {meant}?",
    Kind.MUZZLE: "Was the tape round the muzzle?",
    Kind.SHOULDER: "Was the tape down at the shoulder?",
    Kind.NAPE_INCLUDED: "The nape may be measured in: {meant} without it?",
    Kind.UNKNOWN: "Please have it measured again.",
}
_ADVICE: Final = {
    Kind.MUZZLE: " It goes under the chin and over the head.",
    Kind.SHOULDER: " It goes where the collar will lie.",
}
_HINTS: Final = {
    Kind.INCHES: "perhaps it was read in inches",
    Kind.CENTIMETRES: "perhaps it was read in centimetres",
    Kind.TEN_TIMES_LESS: "perhaps the decimal point slipped",
    Kind.TEN_TIMES_MORE: "perhaps the decimal point slipped",
    Kind.DIGITS: "perhaps two digits changed places",
    Kind.SWAPPED: "perhaps two of the numbers changed places",
    Kind.HALF: "perhaps the tape went only halfway round",
    Kind.MUZZLE: "perhaps the tape went round the muzzle",
    Kind.SHOULDER: "perhaps the tape lay a little low",
    Kind.NAPE_INCLUDED: "perhaps the back of the head was measured in",
    Kind.UNKNOWN: "I should like to be sure before I begin",
}
_UNITS: Final = {Kind.ALL_INCHES: "inches", Kind.ALL_CENTIMETRES: "centimetres"}
_CM_READ: Final = frozenset({Kind.INCHES, Kind.ALL_INCHES})
_INCH_READ: Final = frozenset({Kind.CENTIMETRES, Kind.ALL_CENTIMETRES})

_SAYING = practice("words for odds as people use them; the percent stands beside them")
SURENESS: Final = (
    (Fact(0.95, "probability", _SAYING), "almost certain"),
    (Fact(0.8, "probability", _SAYING), "very likely"),
    (Fact(0.5, "probability", _SAYING), "likely"),
    (Fact(0.2, "probability", _SAYING), "possible"),
    (Fact(0.0, "probability", _SAYING), "only a guess"),
)
PERCENT: Final = Fact(100, "percent", practice("definition"))


@dataclass(frozen=True, slots=True)
class Speech:
    """What the sentences need beside the numbers.

    Attributes:
        kind_of_dog: with its article, as `a Beagle`.
        of_breed: whether that is a breed.
        dog: the dog's name, or None.
        unit: the order's unit.
        alone: whether only one length is given.
    """

    kind_of_dog: str
    of_breed: bool
    dog: str | None
    unit: LengthUnit
    alone: bool

    @property
    def whose(self) -> str:
        """Return `Pipkin's`, or `your dog's`."""
        return f"{self.dog or 'your dog'}'s"

    @property
    def units(self) -> str:
        """Return the order's unit as one says it."""
        return "inches" if self.unit is LengthUnit.INCH else "centimetres"


def percent(probability: float) -> str:
    """Return a probability in whole percent, never quite 0 or 100."""
    whole = min(max(round(probability * PERCENT.value), 1), int(PERCENT.value) - 1)
    return f"{whole} %"


def how_sure(probability: float) -> str:
    """Return `very likely (87 %)`."""
    word = next(word for least, word in SURENESS if probability >= least.value)
    return f"{word} ({percent(probability)})"


def about(mm: float, unit: LengthUnit) -> str:
    """Return a length as one speaks of it: whole cm, or inches to the quarter."""
    step = INCH / ROUGH_INCH_STEP.value if unit is LengthUnit.INCH else MM_PER_CM.value
    shown = show_length(max(round(mm / step), 1) * step, unit)
    return shown.replace(".0 cm", " cm")


def _number(kind: Kind, mm: float, unit: LengthUnit) -> str:
    """Return the number as it was read, bare where that is the order's unit."""
    read = LengthUnit.CM if kind in _CM_READ else LengthUnit.INCH
    shown = show_length(mm, read)
    bare = shown.rpartition(" ")[0].removesuffix(".0")
    return bare if read is unit else f"that is {shown.replace('.0 ', ' ')}, and {bare}"


def in_words(kind: Kind, mm: float, meant: float | None, unit: LengthUnit, other: str = "") -> str:
    """Return what may have happened to a length, as a question; `other` is swapped with it."""
    shown = "" if meant is None else show_length(meant, unit)
    said = _WHY[kind].format(number=_number(kind, mm, unit), meant=shown, other=other)
    return said[0].upper() + said[1:]


def too_far(mm: float, usual: Usual, unit: LengthUnit, what: str) -> str:
    """Return that a length is small or large for something, and what would be usual."""
    size = "small" if mm < usual.middle else "large"
    return (
        f"{show_length(mm, unit)} is {size} for the {what}."
        f" About {about(usual.middle, unit)} would be usual,"
        f" {show_span(usual.low, usual.high, unit)} for most."
    )


def my_number(kind: Kind, mm: float, usual: Usual, unit: LengthUnit, name: str) -> str:
    """Return what would be usual and what the maker has, for the owner, with a hint."""
    return (
        f"About {about(usual.middle, unit)} would be usual for the {name}, and I have"
        f" {show_length(mm, unit)}; {_HINTS[kind]}."
    )


def _why(explanation: Explanation, field: Field, mm: float, unit: LengthUnit) -> str:
    meant = suggestion(explanation, field)
    if explanation.meant and meant is None:
        return _WHY[Kind.UNKNOWN]
    others = [NAMES[other] for other in explanation.fields if other is not field]
    return in_words(explanation.kind, mm, meant, unit, others[0] if others else "")


def to_maker(
    reasons: Sequence[Explanation], field: Field, mm: float, usual: Usual, speech: Speech
) -> str:
    """Return what is odd about a field, what would be usual, and why, the likeliest first."""
    unit = speech.unit
    beside = "" if speech.alone else " beside the other numbers"
    said = too_far(mm, usual, unit, f"{NAMES[field]} of {speech.kind_of_dog}{beside}")
    first, *others = reasons
    why = _why(first, field, mm, unit)
    said += f" {why}"
    if why != _WHY[Kind.UNKNOWN]:  # how sure one is of an explanation, not of a request
        said += f" That is {how_sure(first.probability)}."
    said += _ADVICE.get(first.kind, "")
    for other in others:
        said += f" Or else ({percent(other.probability)}): {_why(other, field, mm, unit)}"
        said += _ADVICE.get(other.kind, "")
    return said


def _weight(kg: float) -> str:
    return f"{kg:.0f} kg" if round(kg) >= PERCENT.value else f"{kg:.2g} kg"


def of_size(kg: float, told_kg: float | None, other: Explanation | None, speech: Speech) -> str:
    """Return the maker's sentence where the lengths agree, but not with the weight or breed.

    Args:
        kg: the weight that the lengths point to.
        told_kg: the weight told, or None where only the breed tells the size.
        other: an explanation of all numbers at once that is not far behind, or None.
        speech: what the sentences need beside the numbers.
    """
    said = "The lengths agree with one another, but"
    if of_no_dog(kg):
        return f"{said} no dog is of that size. Are they all right, and in {speech.units}?"
    said += f" they would be usual at about {_weight(kg)},"
    if told_kg:
        of_breed = f" for {speech.kind_of_dog}" if speech.of_breed else ""
        said += f" not at the {told_kg:.3g} kg told{of_breed}."
        said += " Is the weight right, and in kilograms?"
    else:
        said += f" not for {speech.kind_of_dog}. Is it a pup, or a mix?"
    if other:
        said += (
            f" Or else ({percent(other.probability)}): are all of them in {_UNITS[other.kind]}?"
        )
    return said


def _request(fields: tuple[Field, ...], speech: Speech) -> str:
    if len(fields) > 1:
        names = " and the ".join(NAMES[field] for field in fields)
        return f"Could you look at {speech.whose} numbers again, please: the {names}?"
    part, how = _PLACES[fields[0]]
    return f"Could you measure {speech.whose} {part} again, please, {how}?"


def to_owner(
    explanation: Explanation, field: Field, mm: float, usual: Usual, speech: Speech
) -> str:
    """Return a kind message that asks for the fields of an explanation again, with one named."""
    told = my_number(explanation.kind, mm, usual, speech.unit, NAMES[field])
    return f"{_request(explanation.fields, speech)} {told}"


def all_to_owner(kind: Kind, usual: Usual, field: Field, speech: Speech) -> str:
    """Return a kind message that asks for the unit of all the numbers."""
    return (
        f"Could you tell me whether {speech.whose} numbers are in {_UNITS[kind]}, please?"
        f" As I have them, they are not what is usual; I should expect a {NAMES[field]} of about"
        f" {about(usual.middle, speech.unit)}."
    )


def size_to_owner(kg: float, speech: Speech) -> str:
    """Return a kind message that asks for the weight."""
    if of_no_dog(kg):
        return (
            f"Could you look at all of {speech.whose} numbers again, please? As I have them,"
            f" in {speech.units}, they are those of no dog."
        )
    return (
        f"Could you tell me {speech.whose} weight once more, please, and whether it is still"
        f" growing? The lengths would be usual at about {_weight(kg)}."
    )
