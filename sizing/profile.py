"""What is known of a dog once its breed is looked up."""

from dataclasses import dataclass
from typing import Final

from sizing.breeds import Breed, find
from sizing.dogs import Coat, Dog, EarCarriage, HeadType, Risk
from sizing.evidence import Fact, derived

_OVERSHOOT = derived(
    "pugs in J Vet Intern Med 2016;30:853-865, table 2, ran from 0.73 of the lower to 1.78 of the"
    " upper limit of the standard"
)
LIGHTEST: Final = Fact(0.73, "of the standard's lower limit", _OVERSHOOT)
HEAVIEST: Final = Fact(1.78, "of the standard's upper limit", _OVERSHOOT)


@dataclass(frozen=True, slots=True)
class Weight:
    """A dog's weight in kg: one value given, or a span from its breed."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True, slots=True)
class Profile:
    """A dog with its breed's facts filled in where the order left them open.

    Attributes:
        name: what to call the kind of dog in a sentence.
        breed: the breed's row, or None.
        head: the head type; medium where nothing is known.
        ears: how the ears are carried, or None.
        risks: told by the owner or known of the breed.
        weight: the weight, or None where neither weight nor breed is known.
    """

    name: str
    breed: Breed | None
    head: HeadType
    ears: EarCarriage | None
    risks: frozenset[Risk]
    weight: Weight | None


def _weight(dog: Dog, breed: Breed | None) -> Weight | None:
    if dog.weight_kg is not None:
        return Weight(dog.weight_kg, dog.weight_kg, dog.weight_kg)
    if breed is None:
        return None
    low, high = breed.weight_kg
    middle = (low * high) ** 0.5
    return Weight(low * LIGHTEST.value, middle, high * HEAVIEST.value)


def profile_of(dog: Dog) -> Profile:
    """Return what is known of a dog."""
    breed = find(dog.breed) if dog.breed else None
    head = dog.head or (breed.head if breed else HeadType.MEDIUM)
    risks = dog.risks | (breed.risks if breed else frozenset())
    if dog.head is HeadType.SHORT:
        risks |= {Risk.SHORT_NOSED}
    if dog.coat is Coat.THICK:
        risks |= {Risk.THICK_COAT}
    unnamed = "dog" if dog.weight_kg is None else "dog of this size"
    return Profile(
        name=breed.name if breed else unnamed,
        breed=breed,
        head=head,
        ears=dog.ears or (breed.ears if breed else None),
        risks=risks,
        weight=_weight(dog, breed),
    )
