"""An order's page: what is next, its numbers to settle, its plan, its papers."""

from typing import Annotated, Any

from fastapi import Query
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from sqlmodel import Session

from service.bodies import OrderIn, OutcomeIn
from service.errors import NotFoundError, UnreadableError
from service.orders import change_order, move_order, order_by_number
from service.outcomes import tell_outcome
from service.web.dependencies import ClockOf, DatabaseOf, KeptOf
from service.web.pages.money import (
    take_off,
    write_down,
)
from service.web.pages.ordershow import order_seen, show_order
from service.web.pages.orderview import (
    DOUBTED,
)
from service.web.pages.outcomeview import FIELDS
from service.web.pages.typed import Form, Typed, Values, last, read_body, tree_of, version_of
from service.web.parts import page_part
from service.web.problems import fields_of, status_of
from sizing.ballband import NAMES as OF_BALL
from sizing.dogs import MORE, Field
from sizing.errors import ValueOutOfRangeError
from sizing.swatches import NAMES as OF_SWATCH

router = page_part("/orders")
SEE_OTHER = 303
MOST_NOTE = 2000


@router.get("/{number}")
def order_page(
    number: str,
    database: DatabaseOf,
    clock: ClockOf,
    kept: KeptOf,
    at: Annotated[str, Query(max_length=40)] = "",
) -> HTMLResponse:
    """Show an order; `at` is a price of which the maker asks what it would earn."""
    if at:
        return show_order(database, clock, number, Form({"at": (at,)}))
    return order_seen(database, clock, number, kept)


def _field(values: Values) -> str:
    """Return the measurement, or whatever else is asked after, that a form is about.

    Raises:
        NotFoundError: if there is none of that name.
    """
    name = last(values, "field")
    if name not in {*Field, *MORE, *DOUBTED, *OF_SWATCH, *OF_BALL}:
        message = "There is no such measurement."
        raise NotFoundError(message)
    return name


def _others_accepted(session: Session, number: str, field: str) -> list[dict[str, Any]]:
    asked = OrderIn.model_validate(order_by_number(session, number).asked)
    return [stop.model_dump() for stop in asked.accepted if stop.field != field]


@router.post("/{number}/state")
def move(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Move the order on, or back."""
    note = last(typed, "note")[:MOST_NOTE]
    with database.writing() as session:
        move_order(session, number, last(typed, "to"), version_of(typed), clock(), note)
    return RedirectResponse(f"/orders/{number}", SEE_OTHER)


@router.post("/{number}/correct")
def correct(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Put another number in the place of one; what was accepted of it is no longer."""
    field = _field(typed)
    text = last(typed, "value")
    try:
        with database.writing() as session:
            patch = {"dog" if field in DOUBTED else "measurements": {field: text}}
            change_order(session, number, patch, version_of(typed), clock())
    except (UnreadableError, ValueOutOfRangeError) as error:
        wrong = fields_of(error).get(field) or str(error)
        form = Form({field: (text,)}, {field: wrong})
        return show_order(database, clock, number, form, status_of(error))
    return RedirectResponse(f"/orders/{number}#numbers", SEE_OTHER)


@router.post("/{number}/accept")
def accept(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Accept a number that looks wrong, with a reason."""
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
        return show_order(database, clock, number, form, status_of(error))
    return RedirectResponse(f"/orders/{number}#numbers", SEE_OTHER)


@router.post("/{number}/payment")
def payment(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Write a payment down, or say beside its fields what is wrong."""
    try:
        write_down(number, typed, database, clock)
    except UnreadableError as error:
        return show_order(database, clock, number, Form(typed, fields_of(error)), status_of(error))
    return RedirectResponse(f"/orders/{number}#money", SEE_OTHER)


@router.post("/{number}/credit")
def credit(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Take a sum off the invoice, or say beside its fields what is wrong."""
    try:
        take_off(number, typed, database, clock)
    except UnreadableError as error:
        return show_order(database, clock, number, Form(typed, fields_of(error)), status_of(error))
    return RedirectResponse(f"/orders/{number}#money", SEE_OTHER)


@router.post("/{number}/outcome")
def outcome(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Keep what became of the hood, or ask back where a figure is far from the plan."""
    tree, wrong = tree_of(typed, FIELDS)
    try:
        told = read_body(OutcomeIn, tree, wrong, FIELDS)
        with database.writing() as session:
            tell_outcome(session, number, told, version_of(typed), clock())
    except UnreadableError as error:
        form = Form(typed, fields_of(error))
        return show_order(database, clock, number, form, status_of(error))
    return RedirectResponse(f"/orders/{number}#ended", SEE_OTHER)


@router.post("/{number}/collar")
def remedy(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Make the collar another one: looser, or opening; what cannot be made is said."""
    try:
        with database.writing() as session:
            patch = {"wishes": {"collar": last(typed, "collar")}}
            change_order(session, number, patch, version_of(typed), clock())
    except ValueOutOfRangeError as error:
        form = Form({}, {"collar": str(error)})
        return show_order(database, clock, number, form, status_of(error))
    return RedirectResponse(f"/orders/{number}#fit", SEE_OTHER)
