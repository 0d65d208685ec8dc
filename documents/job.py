"""A job: what an order says that is not sizing, as the papers need it."""

from dataclasses import dataclass
from datetime import date

from sizing.dogs import Field
from sizing.style import Hand
from sizing.units import LengthUnit
from sizing.wording import Terms
from sizing.yarns import Yarn


@dataclass(frozen=True, slots=True)
class Maker:
    """Who makes the hood and can be reached about it.

    Attributes:
        address: the lines of the postal address.
    """

    name: str
    address: tuple[str, ...] = ()
    email: str = ""


@dataclass(frozen=True, slots=True)
class Taken:
    """One measurement: the text as the owner gave it, and the length used, in mm."""

    field: Field
    given: str
    used_mm: float


@dataclass(frozen=True, slots=True)
class Acceptance:
    """A stop that the maker accepted: the finding's field and the reason."""

    field: str
    reason: str


@dataclass(frozen=True, slots=True)
class Job:
    """An order as the papers tell it; texts are as typed and may hold anything.

    Attributes:
        order_number: the order's number as shown to people.
        hood_number: the number of this one hood, sewn into it or printed on its label.
        buyer: the buyer's name.
        dog: the dog's name; may be empty.
        breed: the breed as given; may be empty.
        issued: the date the papers are made.
        maker: who makes it.
        yarn: the yarn, with its lot and fibres.
        terms: US or UK crochet terms.
        unit: the unit of all lengths.
        measurements: one for each field.
        due: when the hood is promised, or None.
        notes: for the maker.
        accepted: the stops accepted.
        link: the order's web address, http or https, printed as a QR code; or empty.
        hand: the hand that holds the hook.
        wash: washing words from the ball band; empty for those of the fibres.
    """

    order_number: str
    hood_number: str
    buyer: str
    dog: str
    breed: str
    issued: date
    maker: Maker
    yarn: Yarn
    terms: Terms
    unit: LengthUnit
    measurements: tuple[Taken, ...]
    due: date | None = None
    notes: str = ""
    accepted: tuple[Acceptance, ...] = ()
    link: str = ""
    wash: str = ""
    hand: Hand = Hand.RIGHT
