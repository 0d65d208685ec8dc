"""The order as it takes shape: price, time, yarn and the promised date of what is typed so far."""

from dataclasses import dataclass
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from documents.figures import minutes_text
from service.bodies import OrderIn, RatesIn
from service.errors import ServiceError, UnreadableError
from service.experience import Experience, experience
from service.models import Buyer, Dog
from service.parcels import Company, company_beside, company_of
from service.planning import hook_for, request_of
from service.states import State
from service.web.pages import orderform
from service.web.pages.desk import Desk
from service.web.pages.labels import ORDER
from service.web.pages.planview import balls_line
from service.web.pages.promising import Promised, for_form, work_of_plan
from service.web.pages.typed import Values, last
from service.web.pages.words import MEASURES
from sizing.errors import SizingError, StoppedError
from sizing.plan import Plan, make_plan

_NEEDED: Final = tuple((f"measurements.{name}", label.lower()) for name, label, _ in MEASURES)
STOPPED: Final = "A number looks too far off to plan from: settle it first, or take the order."


@dataclass(frozen=True, slots=True)
class Shape:
    """What is known of the order by now.

    Attributes:
        total: the price, or nothing before there is a plan.
        lines: what else the plan says.
        lacking: why there is no plan yet, or nothing.
        promised: the date that can be promised.
        doubts: what looks odd about the ball and the swatch. What is odd about a measurement
            stands beside it.
    """

    total: str
    lines: tuple[tuple[str, str], ...]
    lacking: str
    promised: Promised | None
    doubts: tuple["Doubt", ...] = ()


class Doubt(NamedTuple):
    """What looks odd, with the field to look at and its name."""

    place: str
    label: str
    message: str


def _known(session: Session, asked: OrderIn) -> Experience:
    """Return what finished hoods say of the order, as when it is taken."""
    dogs = (
        select(Dog.id)
        .join(Buyer, col(Buyer.id) == col(Dog.buyer_id))
        .where(col(Buyer.name) == asked.buyer.name, col(Buyer.email) == asked.buyer.email)
        .where(col(Dog.name) == asked.dog.name)
    )
    dog = session.exec(dogs.limit(1)).first()
    return experience(session, asked.yarn.name, dog, hook_for(asked))


def _rates(desk: Desk) -> RatesIn:
    """Return the rates that the order is priced with: those of its quote, or today's."""
    if desk.order and desk.order.state != State.ENQUIRY:
        return RatesIn.model_validate(desk.order.rates)
    return desk.outlook.rates


def _lacking(values: Values, error: Exception) -> str:
    missing = [label for name, label in _NEEDED if not last(values, name)]
    if not last(values, orderform.CHOICE):
        missing.append("yarn")
    if missing:
        *before, end = missing
        listed = f"{', '.join(before)} and the {end}" if before else end
        return f"Price and time stand here once you tell the {listed}."
    if isinstance(error, StoppedError):
        return STOPPED
    wrong = error.fields if isinstance(error, UnreadableError) else {}
    named = (f"{ORDER[name]}: {said}" if name in ORDER else said for name, said in wrong.items())
    return " ".join(named) or str(error)


def _planned(session: Session, values: Values, desk: Desk) -> tuple[Plan | None, str]:
    """Return the plan of what is typed, or why there is none yet."""
    whole = values | {"buyer.name": (last(values, "buyer.name") or "?",)}
    try:
        asked = orderform.read_order(whole, desk.shelf)
        if desk.order:
            accepted = OrderIn.model_validate(desk.order.asked).accepted
            asked = asked.model_copy(update={"accepted": accepted})
        return make_plan(request_of(asked, _rates(desk), _known(session, asked))), ""
    except (ServiceError, SizingError) as error:
        return None, _lacking(values, error)


def _doubts(plan: Plan, *, new_yarn: bool) -> tuple[Doubt, ...]:
    """Return what is odd beside the dog's own numbers."""
    told = [(orderform.place_of(one.field), one.message) for one in plan.findings]
    odd = [(place, said) for place, said in told if place.startswith(("swatch.", "yarn."))]
    if not new_yarn:  # the fields of a yarn are for a new one: another one is chosen
        odd = [(orderform.CHOICE if "yarn" in place else place, said) for place, said in odd]
    return tuple(Doubt(place, ORDER[place], said) for place, said in odd)


def _company(session: Session, values: Values, desk: Desk) -> Company:
    """Return what the order goes together with, or shall when it is taken."""
    if desk.order:
        return company_of(session, desk.order)
    return company_beside(session, last(values, "first"))


def shape_of(session: Session, values: Values, desk: Desk) -> Shape:
    """Return what is known of an order by what is typed in its form."""
    plan, lacking = _planned(session, values, desk)
    number = desk.order.number if desk.order else ""
    work = work_of_plan(plan) if plan else None
    promised = for_form(values, desk.outlook, work, number, _company(session, values, desk))
    if plan is None:
        return Shape("", (), lacking, promised)
    price = plan.price
    lines = (
        ("Work", minutes_text(plan.labour.minutes)),
        ("Yarn", balls_line(plan)),
        ("Hook", f"{plan.hook_mm:g} mm"),
    )
    doubts = _doubts(plan, new_yarn=last(values, orderform.CHOICE) == orderform.NEW)
    return Shape(f"{price.total} {price.currency}", lines, "", promised, doubts)
