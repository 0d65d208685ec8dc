"""Yarn: what it is made of, how thick it is, how long a ball is, what a ball costs."""

from dataclasses import dataclass
from decimal import Decimal
from enum import IntEnum, StrEnum
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived, memory, practice, published
from sizing.money import MOST_MONEY


class Fibre(StrEnum):
    """Fibres by the names of EU Regulation 1007/2011, Annex I."""

    ACRYLIC = "acrylic"
    WOOL = "wool"
    ALPACA = "alpaca"
    MOHAIR = "mohair"
    CASHMERE = "cashmere"
    SILK = "silk"
    COTTON = "cotton"
    LINEN = "linen"
    VISCOSE = "viscose"
    MODAL = "modal"
    LYOCELL = "lyocell"
    POLYAMIDE = "polyamide"
    POLYESTER = "polyester"
    ELASTANE = "elastane"


STEADY: Final = frozenset(
    {Fibre.COTTON, Fibre.LINEN, Fibre.SILK, Fibre.VISCOSE, Fibre.MODAL, Fibre.LYOCELL}
)
"""Fibres with no spring: a fabric of them hardly gives (common practice, no source)."""


class WeightClass(IntEnum):
    """Yarn weight classes of the trade body's standard yarn weight system."""

    LACE = 0
    SUPER_FINE = 1
    FINE = 2
    LIGHT = 3
    MEDIUM = 4
    BULKY = 5
    SUPER_BULKY = 6
    JUMBO = 7


BALL: Final = (
    Fact(1.0, "metres or grams", derived("less is a scrap, not a ball")),
    Fact(100_000.0, "metres or grams", derived("more than any cone holds")),
)
WHOLE: Final = Fact(100, "percent", derived("shares of a whole"))


@dataclass(frozen=True, slots=True)
class Yarn:
    """A yarn as its ball band tells it.

    Attributes:
        name: the maker's name for it.
        fibres: fibre and percent, adding up to 100.
        weight_class: how thick it is.
        ball_metres: metres in a ball.
        ball_grams: grams in a ball.
        ball_price: what a ball costs to buy again, in the shop's currency.
        lot: the dye lot, as printed.
    """

    name: str
    fibres: tuple[tuple[Fibre, int], ...]
    weight_class: WeightClass
    ball_metres: float
    ball_grams: float
    ball_price: Decimal
    lot: str = ""

    def __post_init__(self) -> None:
        """Refuse a yarn that cannot be."""
        if sum(percent for _, percent in self.fibres) != WHOLE.value:
            raise ValueOutOfRangeError("fibres", "The fibres must add up to 100 percent.")
        if len({fibre for fibre, _ in self.fibres}) != len(self.fibres):
            raise ValueOutOfRangeError("fibres", "Name each fibre once.")
        if any(percent <= 0 for _, percent in self.fibres):
            raise ValueOutOfRangeError("fibres", "Each fibre needs more than 0 percent.")
        least, most = BALL
        if not all(least.value <= n <= most.value for n in (self.ball_metres, self.ball_grams)):
            reason = f"A ball has from {least.value:.0f} to {most.value:.0f} metres or grams."
            raise ValueOutOfRangeError("ball", reason)
        if not (self.ball_price.is_finite() and 0 <= self.ball_price <= MOST_MONEY.value):
            reason = "A ball cannot cost less than nothing, or so much."
            raise ValueOutOfRangeError("ball_price", reason)

    @property
    def steady_share(self) -> float:
        """Return the share of fibres without spring, 0 to 1."""
        steady = sum(percent for fibre, percent in self.fibres if fibre in STEADY)
        return steady / WHOLE.value

    @property
    def grams_per_metre(self) -> float:
        """Return the yarn's weight in grams for each metre."""
        return self.ball_grams / self.ball_metres


_HOOKS = practice("medium-weight acrylic 5 mm; medium-weight cotton blend one size down")
ACRYLIC_MEDIUM_HOOK: Final = Fact(5.0, "mm", _HOOKS)
COTTON_MEDIUM_HOOK: Final = Fact(4.5, "mm", _HOOKS)
_MEMORY_HOOK = memory("between the table's hook sizes and the smaller hooks used for firm fabric")
DEFAULT_HOOKS: Final = {
    WeightClass.LACE: Fact(2.0, "mm", _MEMORY_HOOK),
    WeightClass.SUPER_FINE: Fact(2.75, "mm", _MEMORY_HOOK),
    WeightClass.FINE: Fact(3.5, "mm", _MEMORY_HOOK),
    WeightClass.LIGHT: Fact(4.0, "mm", _MEMORY_HOOK),
    WeightClass.MEDIUM: ACRYLIC_MEDIUM_HOOK,
    WeightClass.BULKY: Fact(
        6.5, "mm", published("Craft Yarn Council, Standard Yarn Weight System")
    ),
    WeightClass.SUPER_BULKY: Fact(
        9.0, "mm", published("Craft Yarn Council, Standard Yarn Weight System")
    ),
    WeightClass.JUMBO: Fact(
        16.0, "mm", published("Craft Yarn Council, Standard Yarn Weight System")
    ),
}
STEADY_BLEND: Final = Fact(0.5, "share", practice("a cotton blend hardly gives"))
