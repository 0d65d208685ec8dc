"""What may be sewn on a dog's hood: nothing that fits into a throat, nothing hard."""

from math import floor
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived, published

_CYLINDER: Final = published(
    "small parts cylinder for toys of small children, Canada, Toys Regulations SOR/2011-17,"
    " Schedule 1; no limit for dogs was found"
)
BORE: Final = Fact(31.7, "mm", _CYLINDER)
DEPTH: Final = Fact(57.1, "mm", _CYLINDER)
LARGEST: Final = Fact(
    400.0, "mm", derived("judgement: longer than a giant dog's head; it would catch everywhere")
)
SAFETY: Final = (
    (
        "Nothing on the hood may be small enough to be bitten off and swallowed: sew every piece"
        " on all round with doubled yarn, pull hard at it, and look before each wear."
    ),
    (
        "Swallowed yarn can cut a dog's gut. A piece that comes loose: take the hood off at once;"
        " if it may have been swallowed, see a vet the same day."
    ),
    "Eyes and noses are crocheted or embroidered. No buttons, beads, bells or safety eyes.",
    "Only with someone watching. For a dog that chews, leave the pieces off.",
)
"""What goes with every hood that has something sewn on."""


def whole(mm: float, step_mm: float, least: int, *, over: float) -> int:
    """Return the whole steps nearest to a length; so many at least, and more than fits a throat.

    Args:
        mm: the length asked for.
        step_mm: of a row or a stitch.
        least: the fewest that a shape is made of.
        over: the length that they must be over, in mm.
    """
    return max(least, round(mm / step_mm), floor(over / step_mm) + 1)


def check_size(across_mm: float, longest_mm: float) -> None:
    """Refuse a piece that would fit into the cylinder, or is not of this world.

    Args:
        across_mm: its width or the diameter of its base, in mm.
        longest_mm: its longest dimension, in mm.
    """
    if not BORE.value < across_mm <= LARGEST.value:
        reason = (
            f"A piece sewn on a dog's hood is more than {BORE.value:g} mm across, so that it"
            f" cannot be swallowed, and up to {LARGEST.value:g} mm."
        )
        raise ValueOutOfRangeError("across_mm", reason)
    if not DEPTH.value < longest_mm <= LARGEST.value:
        reason = (
            f"A piece sewn on a dog's hood is more than {DEPTH.value:g} mm at its longest, so that"
            f" it cannot be swallowed, and up to {LARGEST.value:g} mm."
        )
        raise ValueOutOfRangeError("long_mm", reason)
