"""The shapes: what is asked for in mm, the part that is worked, the size that it will have."""

from dataclasses import dataclass, replace
from enum import StrEnum
from math import pi
from typing import Final

from sizing.addons.leaf import leaf_counts, leaf_rows
from sizing.addons.rounds import (
    cone_counts,
    disc_counts,
    increases_per_round,
    rounds_of,
    tube_counts,
)
from sizing.addons.safety import DEPTH, check_size, whole
from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived
from sizing.gauge import Gauge
from sizing.rows import Part, PartName, Row
from sizing.variants.stripes import check_colour

__all__ = ["AddOn", "Shape", "Sized", "increases_per_round", "part_of", "sized"]

MOST_COPIES: Final = Fact(12, "pieces", derived("judgement: more is another garment"))

FAR_OFF: Final = Fact(
    0.2, "of what was asked for", derived("judgement: a fifth larger or smaller is another piece")
)


class Shape(StrEnum):
    """A shape, by the name of its part."""

    DISC = "disc"
    CONE = "cone"
    TUBE = "tube"
    LEAF = "leaf"


@dataclass(frozen=True, slots=True)
class AddOn:
    """A shape to sew on.

    Attributes:
        shape: which.
        across_mm: diameter of a disc, of a cone's base or of a tube; width of a leaf; in mm.
        long_mm: height of a cone, length of a tube or leaf, in mm; a disc has none.
        copies: how many.
        colour: the colour's name; empty for the hood's main colour.
    """

    shape: Shape
    across_mm: float
    long_mm: float = 0.0
    copies: int = 1
    colour: str = ""

    def __post_init__(self) -> None:
        """Refuse a piece that could be swallowed, and one that nobody would wear."""
        longest = self.across_mm if self.shape is Shape.DISC else self.long_mm
        check_size(self.across_mm, longest)
        if not 1 <= self.copies <= MOST_COPIES.value:
            reason = f"Make 1 to {MOST_COPIES.value:g} of a piece."
            raise ValueOutOfRangeError("copies", reason)
        if self.colour:
            check_colour(self.colour)


@dataclass(frozen=True, slots=True)
class Sized:
    """The size that a shape will have, in mm: across its base or width, and its length.

    The length of a cone is its height, not its slant.
    """

    across_mm: float
    long_mm: float


def _rows(add_on: AddOn, gauge: Gauge) -> tuple[tuple[Row, ...], int | None]:
    """Return the rows of a shape, and the chains that it begins with."""
    across, long = add_on.across_mm, add_on.long_mm
    if add_on.shape is Shape.LEAF:
        counts = leaf_counts(across, long, gauge)
        return leaf_rows(counts), counts[0] + 1
    if add_on.shape is Shape.DISC:
        rounds = whole(across / 2, gauge.row_mm, 2, over=DEPTH.value / 2)
        return rounds_of(disc_counts(rounds, increases_per_round(gauge))), None
    counts_of = cone_counts if add_on.shape is Shape.CONE else tube_counts
    return rounds_of(counts_of(across, long, gauge)), None


def part_of(add_on: AddOn, gauge: Gauge, turning_chain: int = 0) -> Part:
    """Return the part of a pattern that makes a shape.

    Args:
        add_on: the shape.
        gauge: of the hood; shapes are worked in plain single crochet.
        turning_chain: chains after each turn of flat work.

    Raises:
        ValueOutOfRangeError: if it cannot be made in this yarn.
    """
    rows, chain = _rows(add_on, gauge)
    flat = add_on.shape is Shape.LEAF
    part = Part(
        PartName(add_on.shape.value),
        tuple(replace(row, colour=add_on.colour) for row in rows),
        foundation_chain=chain,
        turning_chain=turning_chain if flat else 0,
        rounds=not flat,
        copies=add_on.copies,
    )
    _check_made(add_on, sized(part, gauge), gauge)
    return part


def _check_made(add_on: AddOn, made: Sized, gauge: Gauge) -> None:
    """Refuse a piece that whole stitches make another than was asked for."""
    sides = [("across_mm", "across", add_on.across_mm, made.across_mm, gauge.stitch_mm)]
    if add_on.shape is not Shape.DISC:
        sides.append(("long_mm", "long", add_on.long_mm, made.long_mm, gauge.row_mm))
    for field, side, asked, mm, step in sides:
        if abs(mm - asked) > max(2 * step, FAR_OFF.value * asked):
            reason = (
                f"In whole stitches of this yarn it would be {mm:.0f} mm {side}, not"
                f" {asked:.0f} mm: ask for that, or take a finer yarn."
            )
            raise ValueOutOfRangeError(field, reason)


def sized(part: Part, gauge: Gauge) -> Sized:
    """Return the size of a worked shape, in mm."""
    counts = [row.stitches for row in part.rows]
    rounds = len(counts) * gauge.row_mm
    if part.part is PartName.LEAF:
        return Sized(max(counts) * gauge.stitch_mm, rounds)
    if part.part is PartName.DISC:
        return Sized(2 * rounds, 2 * rounds)
    across = counts[-1] * gauge.stitch_mm / pi
    if part.part is PartName.CONE:
        return Sized(across, max(0.0, rounds**2 - (across / 2) ** 2) ** (1 / 2))
    # The round that is wide enough closes the tip; the sides are those that gain nothing.
    return Sized(across, (counts.count(counts[-1]) - 1) * gauge.row_mm)
