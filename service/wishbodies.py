"""What comes in: how the hood shall be made where it is not the plain one."""

from enum import StrEnum
from typing import Annotated, Any

from pydantic import Field, StringConstraints

from service.fields import Body, LengthText, Line
from service.reading import Reader
from sizing.addons import AddOn, Shape
from sizing.errors import ValueOutOfRangeError
from sizing.style import Hand, Style, Turning
from sizing.units import LengthUnit
from sizing.variants import EdgingStitch, Stripe, Stripes
from sizing.wishes import Wishes

Colour = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=30)]


class CollarWish(StrEnum):
    """The collar: joined to a tube, made looser until it goes over the head, or opening."""

    JOINED = "joined"
    LOOSER = "looser"
    BUTTONED = "buttoned"


class EarsIn(Body):
    """Openings for the ears, measured on the dog's head."""

    base: LengthText = Field(description="width of the ear's base")
    from_centre: LengthText = Field(description="from the middle of the head to the base")
    above_collar: LengthText = Field(default="", description="empty: where the crown begins")


class StripeIn(Body):
    """So many rows in a colour."""

    colour: Colour
    rows: Annotated[int, Field(ge=1, le=500)]


class StripesIn(Body):
    """Stripes of the collar and of the hood, each over again until the part ends."""

    collar: Annotated[list[StripeIn], Field(min_length=1, max_length=24)]
    hood: Annotated[list[StripeIn], Field(min_length=1, max_length=24)]
    edging: Line = ""


class AddOnIn(Body):
    """A shape to sew on; a disc has a diameter only."""

    shape: Shape
    across: LengthText = Field(examples=["6 cm"])
    long: LengthText = ""
    copies: Annotated[int, Field(ge=1, le=12)] = 1
    colour: Line = ""


class WishesIn(Body):
    """How the hood is made; left out, it is the plain one."""

    collar: CollarWish = CollarWish.JOINED
    button: LengthText = Field(default="", description="diameter; empty for the usual one")
    ears: EarsIn | None = None
    stripes: StripesIn | None = None
    edging: EdgingStitch | None = None
    add_ons: list[AddOnIn] = Field(default=[], max_length=12)
    drawstring: bool = Field(default=False, description="always refused: it could strangle")
    hand: Hand = Hand.RIGHT
    turning_chain: Turning = Turning.NONE


def _ears(asked: EarsIn | None, read: Reader) -> dict[str, float | None]:
    if asked is None:
        return {}
    return {
        "ear_base_mm": read.length("ears.base", asked.base),
        "ear_from_centre_mm": read.length("ears.from_centre", asked.from_centre),
        "ear_above_collar_mm": read.length("ears.above_collar", asked.above_collar),
    }


def _stripes(asked: StripesIn | None, read: Reader) -> Stripes | None:
    if asked is None:
        return None
    try:
        return Stripes(
            tuple(Stripe(one.colour, one.rows) for one in asked.collar),
            tuple(Stripe(one.colour, one.rows) for one in asked.hood),
            asked.edging,
        )
    except ValueOutOfRangeError as error:
        read.odd("stripes", error)
        return None


def _add_on(place: int, asked: AddOnIn, read: Reader) -> AddOn | None:
    here = f"add_ons.{place}"
    across = read.needed(f"{here}.across", asked.across)
    long = None
    if asked.shape is not Shape.DISC:
        long = read.needed(f"{here}.long", asked.long)
    if read.wrong:
        return None
    try:
        return AddOn(asked.shape, across or 0.0, long or 0.0, asked.copies, asked.colour)
    except ValueOutOfRangeError as error:
        read.odd(f"{here}.{error.field.removesuffix('_mm')}", error)
        return None


def wishes_of(asked: WishesIn, unit: LengthUnit) -> Wishes:
    """Return the wishes of the core.

    Raises:
        UnreadableError: naming all that cannot be read or cannot be.
    """
    read = Reader(unit)
    button = read.length("button", asked.button)
    lengths: dict[str, Any] = dict(_ears(asked.ears, read))
    if button is not None:
        lengths["button_mm"] = button
    stripes = _stripes(asked.stripes, read)
    shapes = [_add_on(place, one, read) for place, one in enumerate(asked.add_ons)]
    read.refuse("wishes.")
    return Wishes(
        style=Style(turning=asked.turning_chain, hand=asked.hand),
        buttoned=asked.collar is CollarWish.BUTTONED,
        looser=asked.collar is CollarWish.LOOSER,
        stripes=stripes,
        edging=asked.edging,
        add_ons=tuple(shape for shape in shapes if shape),
        drawstring=asked.drawstring,
        **lengths,
    )
