"""Lengths in the words of a buyer's language, in one unit or in both."""

from typing import Final

from documents.language import Language, mark
from sizing.dogs import Field
from sizing.units import LengthUnit, show_length, show_span

FIELD_NAMES: Final = {
    Field.NECK_LENGTH: mark("neck length"),
    Field.NECK_GIRTH: mark("neck girth"),
    Field.NAPE_LENGTH: mark("nape length"),
    Field.FACE_GIRTH: mark("face girth"),
}


def _local(text: str, language: Language) -> str:
    """Return a length with the decimal sign of a language."""
    return text.replace(".", language.number(0.5).strip("05"))


def length(mm: float, unit: LengthUnit, language: Language) -> str:
    """Return a length in one unit: `38.0 cm`."""
    return _local(show_length(mm, unit), language)


def span(low_mm: float, high_mm: float, unit: LengthUnit, language: Language) -> str:
    """Return a span of lengths in one unit: `35 to 41 cm`."""
    low, _, high = show_span(low_mm, high_mm, unit).partition(" to ")
    said = language.say("{low} to {high}", low=low, high=high)
    return _local(said, language)
