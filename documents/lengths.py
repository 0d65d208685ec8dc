"""Lengths and fibres in the words of a buyer's language, in one unit or in both."""

from typing import Final

from documents.language import Language, mark
from sizing.dogs import Field
from sizing.units import LengthUnit, show_length, show_span
from sizing.yarns import Fibre

FIELD_NAMES: Final = {
    Field.NECK_LENGTH: mark("neck length"),
    Field.NECK_GIRTH: mark("neck girth"),
    Field.NAPE_LENGTH: mark("nape length"),
    Field.FACE_GIRTH: mark("face girth"),
}
FIBRE_NAMES: Final = {
    Fibre.ACRYLIC: mark("acrylic"),
    Fibre.WOOL: mark("wool"),
    Fibre.ALPACA: mark("alpaca"),
    Fibre.MOHAIR: mark("mohair"),
    Fibre.CASHMERE: mark("cashmere"),
    Fibre.SILK: mark("silk"),
    Fibre.COTTON: mark("cotton"),
    Fibre.LINEN: mark("linen"),
    Fibre.VISCOSE: mark("viscose"),
    Fibre.MODAL: mark("modal"),
    Fibre.LYOCELL: mark("lyocell"),
    Fibre.POLYAMIDE: mark("polyamide"),
    Fibre.POLYESTER: mark("polyester"),
    Fibre.ELASTANE: mark("elastane"),
}


def _local(text: str, language: Language) -> str:
    """Return a length with the decimal sign of a language."""
    return text.replace(".", language.number(0.5).strip("05"))


def length(mm: float, unit: LengthUnit, language: Language) -> str:
    """Return a length in one unit: `38.0 cm`."""
    return _local(show_length(mm, unit), language)


def both(mm: float, language: Language) -> str:
    """Return a length in both units: `38.0 cm / 15 in`."""
    return " / ".join(length(mm, unit, language) for unit in LengthUnit)


def span(low_mm: float, high_mm: float, unit: LengthUnit, language: Language) -> str:
    """Return a span of lengths in one unit: `35 to 41 cm`."""
    low, _, high = show_span(low_mm, high_mm, unit).partition(" to ")
    said = language.say("{low} to {high}", low=low, high=high)
    return _local(said, language)


def fibres(shares: tuple[tuple[Fibre, int], ...], language: Language) -> str:
    """Return `60 % acrylic, 40 % cotton`, the largest share first."""
    # EU Regulation 1007/2011, Art. 9: in descending order of percent; names of Annex I.
    ordered = sorted(shares, key=lambda part: (-part[1], part[0].value))
    return ", ".join(f"{share} % {language.say(FIBRE_NAMES[fibre])}" for fibre, share in ordered)
