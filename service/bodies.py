"""What comes in: the shapes of orders, dogs, yarns and rates on the wire.

The same shapes are kept in the database as they were given, so they are also its format.
"""

from datetime import date
from decimal import Decimal
from typing import Annotated

from pydantic import Field, StringConstraints

from service.capacitybodies import CapacityIn
from service.fields import (
    Address,
    Body,
    Email,
    LanguageCode,
    LengthText,
    Line,
    Minutes,
    Money,
    Name,
    Note,
    Origins,
    Phone,
    Positive,
    Reason,
    Share,
)
from service.wishbodies import WishesIn
from sizing.dogs import Coat, EarCarriage, HeadType, Risk
from sizing.fit import Taken
from sizing.fittings import Felt
from sizing.rates import AllowanceOf, Profit, TaxQuoted
from sizing.style import Hand, Turning
from sizing.units import LengthUnit
from sizing.wording import Terms
from sizing.yarns import Fibre, WeightClass


class BuyerIn(Body):
    """The buyer; only the name is needed."""

    name: Name = Field(examples=["Tilda Fenwright"])
    email: Email = ""
    phone: Phone = ""
    address: Address = ""


class DogIn(Body):
    """The dog; the more is known, the surer a wrong number is found."""

    name: Line = Field(default="", examples=["Pipkin"])
    breed: Line = Field(default="", description="a breed, or empty for a mix or unknown")
    weight: LengthText = Field(default="", examples=["11 kg", "24 lb 4 oz"])
    head: HeadType | None = None
    ears: EarCarriage | None = None
    coat: Coat | None = None
    risks: list[Risk] = Field(default=[], max_length=len(Risk))


class MeasurementsIn(Body):
    """The four lengths as the owner wrote them, and two more where they were taken."""

    neck_length: LengthText
    neck_girth: LengthText
    nape_length: LengthText
    face_girth: LengthText
    crown_length: LengthText | None = None
    head_girth: LengthText | None = None


class SomeMeasurements(Body):
    """Those of the four lengths that are known by now."""

    neck_length: LengthText | None = None
    neck_girth: LengthText | None = None
    nape_length: LengthText | None = None
    face_girth: LengthText | None = None
    crown_length: LengthText | None = None
    head_girth: LengthText | None = None


class FibreShare(Body):
    """One fibre and its percent."""

    fibre: Fibre
    percent: Annotated[int, Field(gt=0, le=100)]


class YarnIn(Body):
    """A yarn as its ball band tells it."""

    name: Name = Field(examples=["Brackwater Aran"])
    fibres: Annotated[list[FibreShare], Field(min_length=1, max_length=8)]
    weight_class: WeightClass = WeightClass.MEDIUM
    ball_metres: Positive = Field(examples=[180])
    ball_grams: Positive = Field(examples=[100])
    ball_price: Money = Decimal(0)
    lot: Line = ""


class StretchIn(Body):
    """The rib swatch along its rows, in mm: relaxed, lightly tugged, at the limit, let go."""

    relaxed: Positive
    tug: Positive
    limit: Positive
    after: Positive


class SwatchIn(Body):
    """Stitches and rows per 10 cm in both fabrics; a weighed piece where there is one."""

    rib_stitches: Positive
    rib_rows: Positive
    plain_stitches: Positive
    plain_rows: Positive
    hook_mm: Positive | None = None
    weighed_grams: Positive | None = None
    weighed_stitches: Annotated[int, Field(gt=0, le=1_000_000)] | None = None
    unravelled_mm: Positive | None = None
    unravelled_stitches: Annotated[int, Field(gt=0, le=1_000_000)] | None = None
    stretch: StretchIn | None = None


class PaceIn(Body):
    """Stitches per minute."""

    chain: Positive | None = None
    sc: Positive | None = None
    sc_blo: Positive | None = None
    dec: Positive | None = None
    seam: Positive | None = None


class MinutesIn(Body):
    """Minutes for the fixed tasks."""

    swatch: Minutes | None = None
    per_end: Minutes | None = None
    trying_on: Minutes | None = None
    packing: Minutes | None = None
    per_turn: Minutes | None = None
    per_button: Minutes | None = None


class RatesIn(Body):
    """The maker's rates; what is left out has the start value."""

    currency: Annotated[str, StringConstraints(min_length=3, max_length=3)] = "EUR"
    wage_per_hour: Money | None = None
    pace: PaceIn = PaceIn()
    minutes: MinutesIn = MinutesIn()
    allowance: Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)] | None = None
    overhead: Share | None = None
    margin: Share | None = None
    fee_share: Share | None = None
    fee_fixed: Money | None = None
    tax: Share | None = None
    allowance_of: AllowanceOf | None = None
    learning: Annotated[float, Field(gt=0.5, le=1, allow_inf_nan=False)] | None = None
    overhead_per_hour: Money | None = None
    profit: Profit | None = None
    markup: Share | None = None
    discount: Share | None = None
    deposit: Share | None = None
    fee_tax: Share | None = None
    tax_quoted: TaxQuoted | None = None
    button_cost: Money | None = None


class AcceptedStop(Body):
    """A stop that the maker accepts, and why."""

    field: Line
    reason: Reason


class ChecksIn(Body):
    """A dog and the measurements known so far."""

    dog: DogIn = DogIn()
    measurements: SomeMeasurements
    unit: LengthUnit = LengthUnit.CM


class Hood(Body):
    """All that a hood's plan depends on."""

    dog: DogIn = DogIn()
    measurements: MeasurementsIn
    unit: LengthUnit = LengthUnit.CM
    yarn: YarnIn
    swatch: SwatchIn | None = None
    hook_mm: Positive | None = None
    accepted: list[AcceptedStop] = Field(default=[], max_length=20)
    terms: Terms = Terms.US
    wishes: WishesIn = WishesIn()
    made_before: Annotated[
        int | None,
        Field(ge=0, le=1000, description="hoods of this kind made so far; left out: by heart"),
    ] = None
    from_fittings: Annotated[
        Taken, Field(description="what earlier hoods taught of the fit, and this one is made by")
    ] = Taken.LOOSER


class PlanIn(Hood):
    """A hood and the rates to price it with."""

    rates: RatesIn = RatesIn()


class OrderIn(Hood):
    """An order."""

    buyer: BuyerIn
    due: date | None = None
    notes: Note = ""
    language: LanguageCode = "en"


class ShopIn(Body):
    """The maker's shop: the maker block of the papers, habits, rates, and its door.

    `enquiries` opens the page by which strangers may ask for a hood; the sites of `embed_in`,
    one a line, may show it inside their own pages.
    """

    name: Line = ""
    address: Address = ""
    email: Email = ""
    unit: LengthUnit = LengthUnit.CM
    terms: Terms = Terms.US
    hand: Hand = Hand.RIGHT
    turning_chain: Turning = Turning.NONE
    language: LanguageCode = "en"
    quote_days: Annotated[int, Field(ge=1, le=365)] = 14
    pay_days: Annotated[int, Field(ge=0, le=365)] = 14
    payment_terms: Note = ""
    payment_note: Note = ""
    tax_number: Line = ""
    paper: Annotated[str, StringConstraints(pattern="^(A4|Letter)$")] = "A4"
    forget_after: Annotated[int, Field(ge=1, le=50)] | None = Field(
        default=None, description="years without an order after which buyers are erased"
    )
    enquiries: bool = False
    embed_in: Origins = ""
    hooks: list[Positive] = Field(default=[], max_length=60, description="owned, in mm")
    capacity: CapacityIn = CapacityIn()
    rates: RatesIn = RatesIn()


class OutcomeIn(Body):
    """What became of a hood: by the scale, by the clock without breaks, and on the dog.

    `sure` keeps a figure that is far from the plan; nothing is learned from it then.
    """

    grams: Positive | None = None
    minutes: Positive | None = None
    collar: Felt | None = None
    nape: Felt | None = None
    opening: Felt | None = None
    note: Note = ""
    sure: bool = False


class PaymentIn(Body):
    """A payment by the buyer; below zero it is one back to the buyer."""

    amount: Annotated[
        Decimal, Field(ge=-1_000_000, le=1_000_000, decimal_places=4, examples=["20.00"])
    ]
    on: date | None = None
    note: Note = ""


class CreditIn(Body):
    """A sum to take off an invoice, and what for."""

    amount: Annotated[Decimal, Field(gt=0, le=1_000_000, decimal_places=4, examples=["10.00"])]
    reason: Note = ""


class MoveIn(Body):
    """A change of state."""

    to: Line = Field(examples=["accepted"])
    note: Note = ""
