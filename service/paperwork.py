"""Papers of an order: its kept values made into a view, and the view into a PDF."""

from documents.care_sheet import render as draw_care_sheet
from documents.care_view import care_view
from documents.job import Acceptance, Job, Maker, Taken
from documents.page import Paper
from documents.ticket_view import ticket_view
from documents.work_ticket import render as draw_ticket
from service.bodies import OrderIn, ShopIn
from service.errors import NoPlanError
from service.orders import Found
from service.planning import plan_again, yarn_of
from sizing.dogs import Field
from sizing.plan import Plan
from sizing.units import read_length


def _maker(shop: ShopIn) -> Maker:
    lines = tuple(line.strip() for line in shop.address.splitlines() if line.strip())
    return Maker(name=shop.name, address=lines, email=shop.email)


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
    asked = OrderIn.model_validate(order.asked)
    return Job(
        order_number=order.number,
        hood_number=order.number,
        buyer=asked.buyer.name,
        dog=asked.dog.name,
        breed=asked.dog.breed,
        issued=order.changed_at.date(),
        maker=_maker(shop),
        yarn=yarn_of(asked.yarn),
        terms=asked.terms,
        unit=asked.unit,
        measurements=_taken(asked),
        due=order.due,
        notes=asked.notes,
        accepted=tuple(Acceptance(stop.field, stop.reason) for stop in asked.accepted),
        link=link,
        hand=asked.wishes.hand,
    )


def _plan(found: Found) -> Plan:
    if found.order.plan is None:
        message = (
            f"Order {found.order.number} has no plan yet. Correct or accept the number that"
            " stops it, then print."
        )
        raise NoPlanError(message)
    return plan_again(found.order.plan)


def work_ticket(found: Found, shop: ShopIn, paper: Paper, link: str = "") -> bytes:
    """Return the work ticket as a PDF.

    Raises:
        NoPlanError: if a finding still stops the plan.
    """
    return draw_ticket(ticket_view(job_of(found, shop, link), _plan(found)), paper)


def care_sheet(found: Found, shop: ShopIn, paper: Paper) -> bytes:
    """Return the buyer's care and supervision sheet as a PDF.

    Raises:
        NoPlanError: if a finding still stops the plan.
    """
    return draw_care_sheet(care_view(job_of(found, shop), _plan(found)), paper)
