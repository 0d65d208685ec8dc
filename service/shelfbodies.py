"""What comes in and goes out of the shelf: yarns with their lots, swatches, the shopping list."""

from datetime import date
from typing import Annotated

from pydantic import Field, StringConstraints

from service.bodies import SwatchIn, YarnIn
from service.fields import Body, Line
from service.planbodies import Amount, Out

Colour = Annotated[Line, StringConstraints(max_length=60)]
Balls = Annotated[float, Field(ge=0, le=10_000, allow_inf_nan=False, examples=[4.5])]
MOST_LOTS = 60


class LotIn(Body):
    """A dye lot and the balls left of it; a ball begun counts as its share."""

    colour: Colour = ""
    lot: Line = ""
    balls: Balls = 0


class ShelfYarnIn(YarnIn):
    """A yarn with all its lots; where no lots are told, `lot` is one that nobody has counted."""

    lots: list[LotIn] = Field(default=[], max_length=MOST_LOTS)


class ShelfSwatchIn(SwatchIn):
    """A swatch and the maker's name for it."""

    name: Line = Field(default="", examples=["5 mm, washed"])


class LotOut(Out):
    """A dye lot on the shelf."""

    id: int
    colour: str
    lot: str
    balls: float


class SwatchOnShelf(Out):
    """A swatch kept with a yarn."""

    id: int
    name: str
    swatch: SwatchIn


class YarnOnShelf(Out):
    """A yarn on the shelf; its own `lot` is the first of the lots."""

    id: int
    version: int
    yarn: YarnIn
    lots: list[LotOut]
    swatches: list[SwatchOnShelf]


class NeedOut(Out):
    """What one order takes of a lot; balls are the likely ones."""

    number: str
    dog: str
    state: str
    due: date | None
    balls: float


class StandOut(Out):
    """A lot beside the open orders that are to be made of it.

    `suffices` is the probability that the balls left are enough for all of them; with `buy`
    more balls it is `then`.
    """

    yarn: str
    colour: str
    lot: str
    on_shelf: bool
    balls: float
    needed: float
    suffices: float
    buy: int
    then: float
    cost: Amount
    advice: str
    orders: list[NeedOut]


class ShoppingOut(Out):
    """The shopping list, with its cost in the shop's currency, and all lots it comes from."""

    currency: str
    cost: Amount
    lots: list[StandOut]
