"""The two typefaces of the papers, registered once, and what they can show.

They are embedded in every paper: a PDF that leans on the reader's fonts looks different
on each machine, and the fonts that every reader has know no Greek or Cyrillic.
"""

from functools import cache, lru_cache
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFont

REGULAR: Final = "HoodSans"
BOLD: Final = "HoodSans-Bold"
CAP_HEIGHT: Final = 0.714
"""Height of a capital as a share of the type size, as the font file states it."""

_FOLDER: Final = Path(__file__).parent / "fonts"


def _registered(name: str, file: str) -> "TTFont":
    from reportlab.pdfbase import pdfmetrics  # noqa: PLC0415 - drawing alone needs it
    from reportlab.pdfbase.ttfonts import TTFont  # noqa: PLC0415 - as above

    font = TTFont(name, str(_FOLDER / file))
    pdfmetrics.registerFont(font)
    return font


_ONE_AT_A_TIME: Final = Lock()
"""So that no two threads register one name twice."""


@cache
def _fonts() -> "dict[str, TTFont]":
    return {
        REGULAR: _registered(REGULAR, "NotoSans-Regular.ttf"),
        BOLD: _registered(BOLD, "NotoSans-Bold.ttf"),
    }


def fonts() -> "dict[str, TTFont]":
    """Return the two typefaces by name; they are read when the first paper is worked out."""
    with _ONE_AT_A_TIME:
        return _fonts()


@cache
def _glyphs() -> frozenset[int]:
    return frozenset.intersection(*(frozenset(one.face.charToGlyph) for one in fonts().values()))


def has_glyph(character: str) -> bool:
    """Return whether both typefaces can draw a character."""
    return ord(character) in _glyphs()


@lru_cache(maxsize=8192)
def em_width(text: str, font: str) -> float:
    """Return the width of a text at size 1; the same words come again on every ticket."""
    return float(fonts()[font].stringWidth(text, 1))


def width(text: str, font: str, size: float) -> float:
    """Return the width of a text in points."""
    return em_width(text, font) * size
