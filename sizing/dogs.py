"""The dog: what is known of it, and the four measurements that its owner took."""

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.units import HEAVIEST, LIGHTEST, LONGEST_LENGTH


class HeadType(StrEnum):
    """The shape of the head; girths follow weight by another constant in each."""

    LONG = "long"
    MEDIUM = "medium"
    SHORT = "short"
    MASTIFF = "mastiff"


class EarCarriage(StrEnum):
    """How the ears are carried."""

    ERECT = "erect"
    SEMI = "semi-erect"
    DROP = "drop"


class Coat(StrEnum):
    """How thick the coat is that the tape and the hood lie on."""

    SMOOTH = "smooth"
    MEDIUM = "medium"
    THICK = "thick"


class Risk(StrEnum):
    """What makes a hood more dangerous for a dog."""

    SHORT_NOSED = "short-nosed"
    HEAT = "heat"
    EAR_TROUBLE = "ear trouble"
    EYE_OR_THROAT = "eye or throat trouble"
    PUPPY = "puppy"
    CHEWER = "chewer"
    THICK_COAT = "thick coat"


class Field(StrEnum):
    """The measurements, by the names they have on the wire."""

    NECK_LENGTH = "neck_length"
    NECK_GIRTH = "neck_girth"
    NAPE_LENGTH = "nape_length"
    FACE_GIRTH = "face_girth"


MORE: Final = ("crown_length", "head_girth")
"""The names of the measurements that may be left out."""


@dataclass(frozen=True, slots=True)
class Dog:
    """A dog as the order tells it; all but the risks may be unknown.

    Attributes:
        breed: a name of the breed table, or None for a mix or an unknown breed.
        weight_kg: the weight, or None.
        head: the shape of the head, or None to take the breed's.
        ears: how the ears are carried, or None to take the breed's.
        coat: how thick the coat is, or None.
        risks: what the owner told of the dog.
    """

    breed: str | None = None
    weight_kg: float | None = None
    head: HeadType | None = None
    ears: EarCarriage | None = None
    coat: Coat | None = None
    risks: frozenset[Risk] = frozenset()

    def __post_init__(self) -> None:
        """Refuse a weight that no dog has."""
        if self.weight_kg is not None and not LIGHTEST.value <= self.weight_kg <= HEAVIEST.value:
            reason = f"A dog weighs from {LIGHTEST.value:g} to {HEAVIEST.value:g} kg."
            raise ValueOutOfRangeError("weight", reason)


@dataclass(frozen=True, slots=True)
class Measurements:
    """The four lengths in mm, taken on a seated dog, and two more that help where known.

    Attributes:
        neck_length: along the neck, how high the collar shall be.
        neck_girth: round the neck, where the collar will lie.
        nape_length: up the back of the head, from the neck to the crown.
        face_girth: from under the chin over the top of the head and back.
        crown_length: from the top of the nape over the head to the brow, or None.
        head_girth: round the head where it is widest, which the collar must pass, or None.
    """

    neck_length: float
    neck_girth: float
    nape_length: float
    face_girth: float
    crown_length: float | None = None
    head_girth: float | None = None

    def __post_init__(self) -> None:
        """Refuse a length that no dog has."""
        for name in (*Field, *MORE):
            mm = getattr(self, name)
            if mm is not None and not 0 < mm <= LONGEST_LENGTH.value:
                longest = f"{LONGEST_LENGTH.value:g} mm"
                reason = f"A {name.replace('_', ' ')} is over 0 and up to {longest}."
                raise ValueOutOfRangeError(str(name), reason)

    def of(self, field: Field) -> float:
        """Return one of the four measurements by its field."""
        return float(getattr(self, field.value))

    @property
    def more(self) -> dict[str, float]:
        """Return those of the two others that were taken, by name."""
        taken = {name: getattr(self, name) for name in MORE}
        return {name: float(mm) for name, mm in taken.items() if mm is not None}

    def with_(self, changes: dict[Field, float]) -> "Measurements":
        """Return the measurements with some of the four replaced."""
        return replace(self, **{field.value: mm for field, mm in changes.items()})
