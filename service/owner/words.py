"""What is said to an owner about each number: kindly, in their language, and no trade words."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from math import sqrt
from typing import Final

from documents.language import ENGLISH, Language, mark
from service.bodies import ChecksIn, DogIn
from service.owner.readings import LENGTHS, Told, Twice
from service.planning import Examined, examined
from sizing.checks import Finding, Severity
from sizing.doctor import Kind
from sizing.doctor.learn import Prior
from sizing.doctor.model import with_article
from sizing.doctor.words import about
from sizing.dogs import Dog, Field
from sizing.further import CROWN, HEAD
from sizing.profile import profile_of
from sizing.units import LengthUnit, show_length

WRONG: Final = "wrong"
ASK: Final = "ask"
MORE: Final = "more"
GOOD: Final = "good"

_AGAIN: Final[dict[str, str]] = {
    Field.NECK_LENGTH: mark(
        "Please measure along the neck again: about {usual} would be usual {whom}."
    ),
    Field.NECK_GIRTH: mark(
        "Please measure round the neck again: about {usual} would be usual {whom}."
    ),
    Field.NAPE_LENGTH: mark(
        "Please measure up the back of the head again: about {usual} would be usual {whom}."
    ),
    Field.FACE_GIRTH: mark(
        "Please measure round the face again: about {usual} would be usual {whom}."
    ),
    CROWN: mark(
        "Please measure from the top between the ears forward to the brow again: about {usual}"
        " would be usual {whom}."
    ),
    HEAD: mark(
        "Please measure round the head again, where it is widest: about {usual} would be usual"
        " {whom}."
    ),
}
_HINTS: Final = {
    Kind.INCHES: mark("Did you read the inches of the tape? Then write “in” behind the number."),
    Kind.CENTIMETRES: mark(
        "Did you read the centimetres of the tape? Then write “cm” behind the number."
    ),
    Kind.ALL_INCHES: mark("Are all your numbers inches? Then choose inches above them."),
    Kind.ALL_CENTIMETRES: mark(
        "Are all your numbers centimetres? Then choose centimetres above them."
    ),
    Kind.TEN_TIMES_LESS: mark("Perhaps the decimal point slipped?"),
    Kind.TEN_TIMES_MORE: mark("Perhaps the decimal point slipped?"),
    Kind.DIGITS: mark("Perhaps two digits changed places?"),
    Kind.SWAPPED: mark("Perhaps two of the numbers changed places?"),
    Kind.HALF: mark("Perhaps the tape went only halfway round?"),
    Kind.MUZZLE: mark(
        "The tape goes under the chin and over the top of the head, not round the muzzle."
    ),
    Kind.SHOULDER: mark("Perhaps the tape lay too low, near the shoulder?"),
    Kind.NAPE_INCLUDED: mark("Only along the neck, please, without the back of the head."),
}
"""What may have happened; where nothing is known, nothing is guessed."""
_WEIGHT: Final = mark(
    "The weight and the other numbers do not go together yet. Please look at both once more."
)
_WEIGHT_MISSING: Final = mark(
    "Your numbers do not go together with what I know of your dog. Please look at them once more,"
    " and tell me the weight if you can."
)


@dataclass(frozen=True, slots=True)
class Said:
    """One thing to say beside a field: what cannot be read, a question, a request, or praise."""

    kind: str
    text: str


def length_text(shown: str, language: Language) -> str:
    """Return a shown length, `36.5 cm` or `14 1/2 in`, as a language writes it."""
    number, _, unit = shown.rpartition(" ")
    if unit == LengthUnit.INCH:
        return language.say("{number} in", number=number)
    return f"{language.number(Decimal(number))} {unit}"


def _whom(known: DogIn, weight: str, language: Language) -> str:
    breed = profile_of(Dog(breed=known.breed or None)).breed
    if breed:
        # English alone puts an article before it.
        named = with_article(breed.name) if language.code == ENGLISH else breed.name
        return language.say("for {breed}", breed=named)
    if weight:
        return language.say("for a dog of this weight")
    return language.say("beside the other numbers")


def _hint(found: Examined, field: str) -> str:
    """Return what probably happened to a field, or nothing."""
    for doubt in found.further:
        if doubt.name == field:
            return _HINTS.get(doubt.kind, "")
    for one in found.diagnosis.explanations if found.diagnosis else ():
        if one.kind is not Kind.TRUE and field in one.fields:
            return _HINTS.get(one.kind, "")
    return ""


def judged(told: Told, known: DogIn, prior: Prior) -> Examined:
    """Return what is odd about the numbers typed so far, notes left out.

    Args:
        told: what the owner typed; what cannot be read is left out.
        known: the dog; its weight counts where the owner tells none.
        prior: what finished hoods have taught of usual lengths.
    """
    weight = told.weight if told.weight and not told.weight_wrong else known.weight
    body = {
        "dog": {**known.model_dump(), "weight": weight},
        "measurements": told.taken(),
        "unit": told.unit,
    }
    found = examined(ChecksIn.model_validate(body), prior)
    odd = tuple(one for one in found.findings if one.severity is not Severity.NOTE)
    return replace(found, findings=odd)


def _unreadable(told: Told, language: Language) -> dict[str, Said]:
    inch = told.unit is LengthUnit.INCH
    example = length_text("14 1/2 in" if inch else "36.5 cm", language)
    length = language.say(
        "I cannot read this as a length. Write it like this, please: {example}.", example=example
    )
    weight = language.say("I cannot read this. Write it like this, please: 12 kg or 26 lb.")
    note = language.say("That is more than fits here. Could you say it in fewer words, please?")
    texts = {"weight": weight, "note": note}
    return {name: Said(WRONG, texts.get(name, length)) for name in told.unreadable}


def _asked_back(
    finding: Finding, found: Examined, whom: str, unit: LengthUnit, language: Language
) -> str:
    low, high = finding.expected_low_mm or 1.0, finding.expected_high_mm or 1.0
    usual = length_text(about(sqrt(low * high), unit), language)
    said = language.say(_AGAIN[finding.field], usual=usual, whom=whom)
    hint = _hint(found, finding.field)
    return f"{said} {language.say(hint)}" if hint else said


def _found(
    told: Told, known: DogIn, prior: Prior, language: Language
) -> Iterator[tuple[str, Said]]:
    """Yield what there is to ask back, by field."""
    found = judged(told, known, prior)
    whom = _whom(known, told.weight or known.weight, language)
    for one in found.findings:
        if one.field in _AGAIN and one.expected_low_mm:
            yield one.field, Said(ASK, _asked_back(one, found, whom, told.unit, language))
        else:
            said = _WEIGHT if told.weight else _WEIGHT_MISSING
            yield "weight", Said(ASK, language.say(said))


def _of_two(twice: Twice, unit: LengthUnit, language: Language) -> Said | None:
    """Return what the two readings of a length say beside each other, or nothing."""
    match twice.known:
        case (first, second) if twice.apart:
            apart = length_text(show_length(abs(first - second), unit), language)
            text = language.say(
                "These two are {difference} apart. Please measure a third time, and keep the two"
                " that are closest.",
                difference=apart,
            )
            return Said(ASK, text)
        case (first, second):
            mean = length_text(show_length((first + second) / 2, unit), language)
            return Said(GOOD, language.say("These two go well together: {length}.", length=mean))
        case (_,):
            return Said(MORE, language.say("Thank you. And now the same once more, please."))
    return None


def said_of(
    told: Told,
    known: DogIn,
    prior: Prior,
    language: Language,
    *,
    missing: bool = False,
    twice: bool = True,
) -> dict[str, tuple[Said, ...]]:
    """Return what there is to say beside each field.

    Args:
        told: what is typed so far.
        known: the dog.
        prior: what finished hoods have taught of usual lengths.
        language: the owner's.
        missing: whether lengths that are still empty are asked for.
        twice: whether each length is to be taken twice.
    """
    said: dict[str, list[Said]] = {name: [] for name in (*LENGTHS, "weight", "note")}
    for name, wrong in _unreadable(told, language).items():
        said[name].append(wrong)
    for name, one in told.lengths.items():
        two = _of_two(one, told.unit, language) if twice and not one.wrong else None
        if two:
            said[name].append(two)
        elif missing and name in set(Field) and not one.known and not one.wrong:
            said[name].append(Said(MORE, language.say("This one is still missing.")))
    if not told.empty:
        for name, asked in _found(told, known, prior, language):
            # A question takes the place of praise and thanks.
            said[name] = [*(one for one in said[name] if one.kind in {ASK, WRONG}), asked]
    return {name: tuple(found) for name, found in said.items() if found}


def doubtful(said: dict[str, tuple[Said, ...]]) -> bool:
    """Return whether something is asked back before the numbers are sent."""
    return any(one.kind in {ASK, MORE} for found in said.values() for one in found)
