"""An order's page: what is next, its numbers to settle, its plan, its papers."""

from typing import Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from sqlmodel import Session

from service.bodies import OrderIn
from service.db import Database
from service.errors import NotFoundError, UnreadableError
from service.orders import Clock, change_order, found, move_order, order_by_number
from service.shop import shop_of
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages import words
from service.web.pages.orderview import order_view, stopped_words
from service.web.pages.render import page
from service.web.pages.typed import Form, Typed, Values, last, version_of
from service.web.problems import fields_of, status_of
from sizing.dogs import Field
from sizing.errors import ValueOutOfRangeError

router = APIRouter(prefix="/orders")
SEE_OTHER = 303


def _show(
    database: Database, clock: Clock, number: str, form: Form | None = None, status: int = 200
) -> HTMLResponse:
    with database.reading() as session:
        view = order_view(found(session, number), clock().date())
        shop, _ = shop_of(session)
    return page(
        "order.html",
        status,
        view=view,
        order=view.order,
        form=form or Form({}),
        stopped=stopped_words(view.stopped) if view.stopped else "",
        severity=words.SEVERITY,
        paper=shop.paper,
    )


@router.get("/{number}")
def order_page(number: str, database: DatabaseOf, clock: ClockOf) -> HTMLResponse:
    """Show an order."""
    return _show(database, clock, number)


def _field(values: Values) -> str:
    """Return the measurement that a form is about.

    Raises:
        NotFoundError: if there is none of that name.
    """
    name = last(values, "field")
    if name not in {field.value for field in Field}:
        message = "There is no such measurement."
        raise NotFoundError(message)
    return name


def _others_accepted(session: Session, number: str, field: str) -> list[dict[str, Any]]:
    asked = OrderIn.model_validate(order_by_number(session, number).asked)
    return [stop.model_dump() for stop in asked.accepted if stop.field != field]


@router.post("/{number}/state")
def move(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Move the order on, or back."""
    with database.writing() as session:
        move_order(session, number, last(typed, "to"), version_of(typed), clock())
    return RedirectResponse(f"/orders/{number}", SEE_OTHER)


@router.post("/{number}/correct")
def correct(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Put another number in the place of one; what was accepted of it is no longer."""
    field = _field(typed)
    text = last(typed, "value")
    try:
        with database.writing() as session:
            patch = {"measurements": {field: text}}
            change_order(session, number, patch, version_of(typed), clock())
    except (UnreadableError, ValueOutOfRangeError) as error:
        wrong = fields_of(error).get(field) or str(error)
        form = Form({field: (text,)}, {field: wrong})
        return _show(database, clock, number, form, status_of(error))
    return RedirectResponse(f"/orders/{number}#numbers", SEE_OTHER)


@router.post("/{number}/accept")
def accept(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Accept a number that stops the plan, with a reason."""
    field = _field(typed)
    reason = last(typed, "reason")
    try:
        with database.writing() as session:
            kept = _others_accepted(session, number, field)
            patch = {"accepted": [*kept, {"field": field, "reason": reason}]}
            change_order(session, number, patch, version_of(typed), clock())
    except UnreadableError as error:
        said = "Say in a few words why the number is right (3 to 500 characters)."
        form = Form({f"reason {field}": (reason,)}, {f"reason {field}": said})
        return _show(database, clock, number, form, status_of(error))
    return RedirectResponse(f"/orders/{number}#numbers", SEE_OTHER)
