"""What an owner typed: each length twice, read, and the two held against each other."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from service.bodies import DogIn
from sizing.dogs import MORE, Dog, Field
from sizing.errors import NotationError
from sizing.exactness import far_apart, tape_error
from sizing.profile import profile_of
from sizing.units import LengthUnit, read_length, read_weight, show_length

LENGTHS: Final = (*(field.value for field in Field), *MORE)
TIMES: Final = ("1", "2")
LONGEST_NOTE: Final = 500
TYPED: Final = tuple(f"{name}.{time}" for name in LENGTHS for time in TIMES)
NAMES: Final = (*TYPED, "unit", "weight", "note")
"""The fields of the page."""
# What no keyboard types: control characters, and marks that turn the direction of a line.
_ODD: Final = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2028\u2029\u2066-\u2069]")
_ZOLL: Final = re.compile(r"\s*zoll\.?$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Reading:
    """One length, once: as typed and in mm, or None where it is empty or cannot be read."""

    text: str
    mm: float | None

    @property
    def plain(self) -> str:
        """Return the text as the shop reads it: with `in` where a German wrote `Zoll`."""
        return _ZOLL.sub(" in", self.text)

    @property
    def wrong(self) -> bool:
        """Return whether something is typed that cannot be read."""
        return bool(self.text) and self.mm is None


@dataclass(frozen=True, slots=True)
class Twice:
    """One length, measured twice.

    Attributes:
        readings: the first and the second.
        apart: whether they differ by more than the tape's error explains.
    """

    readings: tuple[Reading, Reading]
    apart: bool

    @property
    def known(self) -> tuple[float, ...]:
        """Return the readings in mm."""
        return tuple(one.mm for one in self.readings if one.mm is not None)

    @property
    def mm(self) -> float | None:
        """Return the mean of what is known, or None."""
        return sum(self.known) / len(self.known) if self.known else None

    @property
    def wrong(self) -> bool:
        """Return whether one of them cannot be read."""
        return any(one.wrong for one in self.readings)


@dataclass(frozen=True, slots=True)
class Told:
    """All that an owner typed.

    Attributes:
        unit: of numbers without one.
        lengths: by name, each twice.
        weight: as typed.
        weight_wrong: whether it cannot be read.
        note: what the owner adds.
    """

    unit: LengthUnit
    lengths: dict[str, Twice]
    weight: str
    weight_wrong: bool
    note: str

    @property
    def unreadable(self) -> tuple[str, ...]:
        """Return the names of what has to be put right before it can be sent."""
        wrong = [name for name, twice in self.lengths.items() if twice.wrong]
        wrong += ["weight"] * self.weight_wrong
        return (*wrong, *["note"] * (len(self.note) > LONGEST_NOTE))

    @property
    def empty(self) -> bool:
        """Return whether no length is told."""
        return not any(twice.known for twice in self.lengths.values())

    def taken(self) -> dict[str, str]:
        """Return each length to go on with, with its unit."""
        return {
            name: show_length(twice.mm, self.unit)
            for name, twice in self.lengths.items()
            if twice.mm is not None
        }

    def kept(self) -> dict[str, Any]:
        """Return it all as it is kept."""
        return {
            "unit": self.unit.value,
            "texts": {name: [one.text for one in t.readings] for name, t in self.lengths.items()},
            "taken": self.taken(),
            "weight": self.weight,
            "note": self.note,
        }


def tidy(text: str) -> str:
    """Return a text without what no keyboard types."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    return _ODD.sub("", lines).strip()


def _reading(text: str, unit: LengthUnit) -> Reading:
    try:
        return Reading(text, read_length(_ZOLL.sub(" in", text), unit).value if text else None)
    except NotationError:
        return Reading(text, None)


def _weight_wrong(text: str) -> bool:
    if not text:
        return False
    try:
        read_weight(text)
    except NotationError:
        return True
    return False


def told_of(values: Mapping[str, str], known: DogIn, unit: LengthUnit = LengthUnit.CM) -> Told:
    """Return what is typed in the fields; what cannot be read is kept as it is.

    Args:
        values: the texts by field.
        known: the dog, whose coat the tape lies on.
        unit: where none is chosen.
    """
    unit = LengthUnit(values["unit"]) if values.get("unit") in set(LengthUnit) else unit
    dog = Dog(breed=known.breed or None, coat=known.coat, risks=frozenset(known.risks))
    error = tape_error(dog, profile_of(dog).risks)
    lengths = {}
    for name in LENGTHS:
        first, second = (
            _reading(" ".join(tidy(values.get(f"{name}.{time}", "")).split()), unit)
            for time in TIMES
        )
        both = first.mm is not None and second.mm is not None
        apart = both and far_apart(first.mm or 0.0, second.mm or 0.0, error)
        lengths[name] = Twice((first, second), apart)
    weight = " ".join(tidy(values.get("weight", "")).split())
    return Told(unit, lengths, weight, _weight_wrong(weight), tidy(values.get("note", "")))


def typed_again(kept: Mapping[str, Any]) -> dict[str, str]:
    """Return the fields that made what is kept."""
    texts = {
        f"{name}.{time}": text
        for name, both in kept["texts"].items()
        for time, text in zip(TIMES, both, strict=True)
    }
    return {**texts, "unit": kept["unit"], "weight": kept["weight"], "note": kept["note"]}
