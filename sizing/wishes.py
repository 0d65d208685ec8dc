"""What the maker or the buyer asks for, in words and mm; out come whole stitches and rows."""

from dataclasses import dataclass, replace
from typing import Final

from sizing.addons.shapes import MOST_COPIES, AddOn, part_of
from sizing.errors import ValueOutOfRangeError
from sizing.gauge import Gauge
from sizing.rowplan import RowPlan
from sizing.style import PLAIN_STYLE, Style
from sizing.variants.buttoned import BUTTON, buttoned_collar
from sizing.variants.ears import EarSlots, ear_openings
from sizing.variants.edging import EdgingStitch, edging_of
from sizing.variants.make import Make
from sizing.variants.stripes import Stripes


@dataclass(frozen=True, slots=True)
class Wishes:
    """The variants asked for; by default the plain hood.

    Attributes:
        style: how the maker works.
        buttoned: whether the collar opens.
        looser: whether a collar that does not go over the head is made looser until it does.
        button_mm: diameter of a button, in mm.
        ear_base_mm: width of the ear's base in mm, or None for no openings.
        ear_from_centre_mm: from the centre back to the nearer end of the base, in mm.
        ear_above_collar_mm: from the collar to the base, in mm; None for the crown's beginning.
        stripes: colours of the rows, or None.
        edging: the stitch of an edging round the face, or None.
        add_ons: shapes to sew on.
        drawstring: a cord in the collar; always refused.
        chewer: whether the dog chews.
    """

    style: Style = PLAIN_STYLE
    buttoned: bool = False
    looser: bool = False
    button_mm: float = BUTTON.value
    ear_base_mm: float | None = None
    ear_from_centre_mm: float | None = None
    ear_above_collar_mm: float | None = None
    stripes: Stripes | None = None
    edging: EdgingStitch | None = None
    add_ons: tuple[AddOn, ...] = ()
    drawstring: bool = False
    chewer: bool = False


PLAIN_WISHES: Final = Wishes()
"""The plain hood."""


def _ears(wishes: Wishes, plan: RowPlan, gauge: Gauge) -> EarSlots | None:
    base, apart = wishes.ear_base_mm, wishes.ear_from_centre_mm
    if base is None and apart is None:
        return None
    if base is None or apart is None:
        field = "ear_base" if base is None else "ear_from_centre"
        reason = (
            "Ear openings need two lengths: the width of the ear's base, and how far it begins"
            " from the centre back."
        )
        raise ValueOutOfRangeError(field, reason)
    return ear_openings(plan, gauge, base, apart, wishes.ear_above_collar_mm)


def _coloured(wishes: Wishes, add_on: AddOn) -> AddOn:
    """Return a shape in its own colour, or in the first of a striped hood."""
    if add_on.colour or wishes.stripes is None:
        return add_on
    return replace(add_on, colour=wishes.stripes.hood[0].colour)


def make_of(wishes: Wishes, plan: RowPlan, gauge: Gauge) -> Make:
    """Return how a hood is made.

    Raises:
        ValueOutOfRangeError: if a wish cannot be had; the sentence says why.
    """
    if wishes.drawstring:
        reason = (
            "No drawstring: a cord at a dog's neck can catch, tighten and strangle it. The rib"
            " holds by itself; where it must open, take the buttoned collar."
        )
        raise ValueOutOfRangeError("drawstring", reason)
    if wishes.chewer and wishes.add_ons:
        reason = "This dog chews: sew nothing on that could be bitten off and swallowed."
        raise ValueOutOfRangeError("add_ons", reason)
    if sum(one.copies for one in wishes.add_ons) > MOST_COPIES.value:
        reason = f"Sew on {MOST_COPIES.value:g} shapes at most, all together."
        raise ValueOutOfRangeError("add_ons", reason)
    turning = int(wishes.style.turning)
    buttoned = (
        buttoned_collar(plan.collar_stitches, gauge, wishes.button_mm, chewer=wishes.chewer)
        if wishes.buttoned
        else None
    )
    shapes = tuple(part_of(_coloured(wishes, one), gauge, turning) for one in wishes.add_ons)
    return Make(
        turning_chain=turning,
        buttoned=buttoned,
        ears=_ears(wishes, plan, gauge),
        stripes=wishes.stripes,
        edging=edging_of(plan, gauge, wishes.edging) if wishes.edging else (),
        add_ons=shapes,
    )
