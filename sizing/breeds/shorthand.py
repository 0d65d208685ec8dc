"""Short words for the rows of the table modules."""

from typing import Final

from sizing.breeds.types import Breed, Stated
from sizing.dogs import EarCarriage, HeadType, Risk

LONG: Final = HeadType.LONG
MEDIUM: Final = HeadType.MEDIUM
SHORT: Final = HeadType.SHORT
MASTIFF: Final = HeadType.MASTIFF

ERECT: Final = EarCarriage.ERECT
SEMI: Final = EarCarriage.SEMI
DROP: Final = EarCarriage.DROP

NOSE: Final = Risk.SHORT_NOSED
HEAT: Final = Risk.HEAT
EAR: Final = Risk.EAR_TROUBLE
EYE: Final = Risk.EYE_OR_THROAT
COAT: Final = Risk.THICK_COAT

AKC: Final = "American Kennel Club breed figures, 2020"


def fci(number: int, date: str = "") -> str:
    """Cite a standard of the Fédération Cynologique Internationale; some bear no date."""
    return f"FCI-Standard {number}, {date}" if date else f"FCI-Standard {number}"


def mixed(weight: str, height: str) -> str:
    """Cite one source for the weight and another for the height."""
    return f"{weight} (weight); {height} (height)"


def row(
    name: str,
    weight_kg: tuple[float, float],
    height_cm: tuple[float, float] | None,
    head: HeadType,
    ears: EarCarriage,
    cite: str,
    *risks: Risk,
    also: tuple[str, ...] = (),
    stated: Stated = Stated.RANGE,
    head_girth_cm: tuple[float, float] | None = None,
    head_length_cm: tuple[float, float] | None = None,
    neck_girth_cm: tuple[float, float] | None = None,
    neck_length_cm: tuple[float, float] | None = None,
    head_length_of_height: tuple[float, float] | None = None,
    neck_of_head_length: tuple[float, float] | None = None,
    facts_cite: str = "",
) -> Breed:
    """Make a breed, its risks last so that a row fits a line."""
    return Breed(
        name=name,
        weight_kg=weight_kg,
        height_cm=height_cm,
        head=head,
        ears=ears,
        risks=frozenset(risks),
        cite=cite,
        also=also,
        stated=stated,
        head_girth_cm=head_girth_cm,
        head_length_cm=head_length_cm,
        neck_girth_cm=neck_girth_cm,
        neck_length_cm=neck_length_cm,
        head_length_of_height=head_length_of_height,
        neck_of_head_length=neck_of_head_length,
        facts_cite=facts_cite,
    )
