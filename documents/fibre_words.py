"""Names of fibres on a buyer's paper: the law fixes them for each language.

EU Regulation 1007/2011, Annex I, has a list in every language of the Union; a translation
takes the name from there and not from a dictionary. Art. 9: in descending order of percent.
"""

from typing import Final

from documents.language import Language, mark
from sizing.yarns import Fibre

NAMES: Final = {
    # Translators: all fibres by their names in EU Regulation 1007/2011, Annex I.
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


def fibre_content(language: Language, fibres: tuple[tuple[Fibre, int], ...]) -> str:
    """Return `60 % acrylic, 40 % cotton` in a language, the largest share first."""
    named = [(language.say(NAMES[fibre]), percent) for fibre, percent in fibres]
    named.sort(key=lambda part: (-part[1], part[0]))
    return ", ".join(f"{percent} % {name}" for name, percent in named)
