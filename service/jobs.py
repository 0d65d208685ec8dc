"""An order as the papers need it: what it says that is not sizing, and its plan."""

from datetime import date

from documents.job import Acceptance, Job, Maker, Taken
from service.bodies import OrderIn, ShopIn
from service.errors import NoPlanError
from service.orders import Found
from service.planning import yarn_of
from sizing.dogs import Field
from sizing.plan import Plan
from sizing.units import read_length


def address_lines(address: str) -> tuple[str, ...]:
    """Return the lines of a postal address, the empty ones left out."""
    return tuple(line.strip() for line in address.splitlines() if line.strip())


def maker_of(shop: ShopIn) -> Maker:
    """Return the maker block of the papers."""
    return Maker(name=shop.name, address=address_lines(shop.address), email=shop.email)


def _taken(asked: OrderIn) -> tuple[Taken, ...]:
    texts = {field: getattr(asked.measurements, field.value) for field in Field}
    return tuple(
        Taken(field, text, read_length(text, asked.unit).value) for field, text in texts.items()
    )


def job_of(found: Found, shop: ShopIn, link: str = "") -> Job:
    """Return what an order says that is not sizing.

    It is dated by the order's last change, so that the same order gives the same paper.
    """
    order = found.order
    return job_for(found.asked, shop, order.number, order.changed_at.date(), link)


def job_for(asked: OrderIn, shop: ShopIn, number: str, issued: date, link: str = "") -> Job:
    """Return what an order, which may be kept nowhere, says that is not sizing."""
    return Job(
        order_number=number,
        hood_number=number,
        buyer=asked.buyer.name,
        dog=asked.dog.name,
        breed=asked.dog.breed,
        issued=issued,
        maker=maker_of(shop),
        yarn=yarn_of(asked.yarn),
        terms=asked.terms,
        unit=asked.unit,
        measurements=_taken(asked),
        due=asked.due,
        notes=asked.notes,
        accepted=tuple(Acceptance(stop.field, stop.reason) for stop in asked.accepted),
        link=link,
        hand=asked.wishes.hand,
    )


def plan_for(found: Found) -> Plan:
    """Return an order's plan.

    Raises:
        NoPlanError: if a finding still stops it.
    """
    if found.plan is None:
        message = (
            f"Order {found.order.number} has no plan yet. Correct or accept the number that"
            " stops it, then print."
        )
        raise NoPlanError(message)
    return found.plan
