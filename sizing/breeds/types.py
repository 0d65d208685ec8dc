"""What the breed table holds of a breed, and where that comes from."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sizing.dogs import EarCarriage, HeadType, Risk
from sizing.evidence import Origin, memory, published


class Stated(StrEnum):
    """What the source's figures of weight mean; only a range bounds a dog on both sides."""

    RANGE = "range"
    ONE = "one figure, an ideal or an upper limit"
    LEAST = "least of bitch and dog"
    SIZES = "several sizes of one breed together"


HEAD_AND_EARS_ORIGIN: Final = memory(
    "head type and natural ear carriage are common knowledge of the breeds; no table of them "
    "was found"
)
SHORT_NOSED_ORIGIN: Final = published(
    "Packer et al. 2015, PLoS ONE 10(10):e0137496 (airway trouble where the muzzle is under "
    "half the cranium); Liu et al. 2017, PLoS ONE 12(8):e0181928 (pug, bulldogs); Tomlinson "
    "et al. 2024, PLoS ONE 19(12):e0315411 (Boston Terrier); the other breeds from memory"
)
HEAT_ORIGIN: Final = published(
    "Hall, Carter and O'Neill 2020, Scientific Reports 10:9128: the breeds named there, and "
    "dogs over 50 kg; which breeds outgrow a stated least weight is from memory"
)
EAR_TROUBLE_ORIGIN: Final = published(
    "O'Neill et al. 2021, Canine Medicine and Genetics 8:7 (Basset Hound, Shar Pei, Beagle, "
    "Golden Retriever; pendulous ears 1.76 times, V-shaped drop ears 1.84 times the odds of "
    "erect ones); doi 10.1186/s13028-017-0282-3 (spaniels); PMC8578590 (aural haematoma: Bull "
    "Terrier, St Bernard, French Bulldog); which other breeds carry it is from memory"
)
EYE_OR_THROAT_ORIGIN: Final = memory(
    "breeds known for weak windpipes, glaucoma or prominent eyes; that a collar raises the "
    "pressure in the eye: Pauli et al. 2006, JAAHA 42:207-211"
)
THICK_COAT_ORIGIN: Final = memory("double-coated and long-coated breeds")

RISK_ORIGINS: Final[dict[Risk, Origin]] = {
    Risk.SHORT_NOSED: SHORT_NOSED_ORIGIN,
    Risk.HEAT: HEAT_ORIGIN,
    Risk.EAR_TROUBLE: EAR_TROUBLE_ORIGIN,
    Risk.EYE_OR_THROAT: EYE_OR_THROAT_ORIGIN,
    Risk.THICK_COAT: THICK_COAT_ORIGIN,
}
"""The origin of each risk that a breed may carry; no other risk belongs to a breed."""


@dataclass(frozen=True, slots=True)
class Breed:
    """A breed and the published figures of it; spans are low and high, both sexes.

    Dogs outside a standard are common, so no figure here refuses a dog.

    Attributes:
        name: the English name in common use.
        weight_kg: the weight, as `stated` says.
        height_cm: the height at the withers, or None.
        head: the shape of the head.
        ears: how the uncropped ears are carried.
        risks: dispositions of the breed that matter for a hood.
        cite: the source of weight and height.
        also: other names and spellings.
        stated: what the two figures of weight mean.
        head_girth_cm: round the skull, where a source states it.
        head_length_cm: nose to occiput, where a source states it.
        neck_girth_cm: round the neck, where a source states it.
        neck_length_cm: along the neck, where a source states it.
        head_length_of_height: head length as a share of height, where a source states it.
        neck_of_head_length: neck length as a share of head length, where a source states it.
        facts_cite: the source of the figures of head and neck, and the places measured.
    """

    name: str
    weight_kg: tuple[float, float]
    height_cm: tuple[float, float] | None
    head: HeadType
    ears: EarCarriage
    risks: frozenset[Risk]
    cite: str
    also: tuple[str, ...] = ()
    stated: Stated = Stated.RANGE
    head_girth_cm: tuple[float, float] | None = None
    head_length_cm: tuple[float, float] | None = None
    neck_girth_cm: tuple[float, float] | None = None
    neck_length_cm: tuple[float, float] | None = None
    head_length_of_height: tuple[float, float] | None = None
    neck_of_head_length: tuple[float, float] | None = None
    facts_cite: str = ""
