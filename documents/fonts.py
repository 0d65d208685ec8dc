"""The two typefaces of the papers, registered once, and what they can show.

They are embedded in every paper: a PDF that leans on the reader's fonts looks different
on each machine, and the fonts that every reader has know no Greek or Cyrillic.
"""

from functools import lru_cache
from pathlib import Path
from typing import Final

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

REGULAR: Final = "HoodSans"
BOLD: Final = "HoodSans-Bold"
CAP_HEIGHT: Final = 0.714
"""Height of a capital as a share of the type size, as the font file states it."""

_FOLDER: Final = Path(__file__).parent / "fonts"


def _registered(name: str, file: str) -> TTFont:
    font = TTFont(name, str(_FOLDER / file))
    pdfmetrics.registerFont(font)
    return font


# At import, because the import lock then keeps two threads from registering one name twice.
_FONTS: Final = {
    REGULAR: _registered(REGULAR, "NotoSans-Regular.ttf"),
    BOLD: _registered(BOLD, "NotoSans-Bold.ttf"),
}
_GLYPHS: Final = frozenset.intersection(
    *(frozenset(font.face.charToGlyph) for font in _FONTS.values())
)


def has_glyph(character: str) -> bool:
    """Return whether both typefaces can draw a character."""
    return ord(character) in _GLYPHS


@lru_cache(maxsize=8192)
def em_width(text: str, font: str) -> float:
    """Return the width of a text at size 1; the same words come again on every ticket."""
    return float(_FONTS[font].stringWidth(text, 1))


def width(text: str, font: str, size: float) -> float:
    """Return the width of a text in points."""
    return em_width(text, font) * size
