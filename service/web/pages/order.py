"""An order's page: what is next, its numbers to settle, its plan, its papers."""

from decimal import Decimal, InvalidOperation
from typing import Annotated, Any

from fastapi import APIRouter, Query
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from sqlmodel import Session

from service.bench.desk import desk_of
from service.bodies import OrderIn, OutcomeIn, RatesIn
from service.db import Database
from service.errors import NotFoundError, UnreadableError
from service.experience import prior_of
from service.nextfit import suggestion_for
from service.orders import Clock, Found, change_order, found, move_order, order_by_number
from service.outcomes import tell_outcome
from service.owner.enquiries import enquiry_of
from service.papernotes import paper_notes
from service.planning import earned_at
from service.sending.wire import care_sheet_of
from service.shop import shop_of
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages import words
from service.web.pages.benchview import TimeView, spent_on
from service.web.pages.enquiries import lines_as_typed
from service.web.pages.money import (
    PAYMENT,
    money_view,
    read_credit,
    read_payment,
    take_off,
    write_down,
)
from service.web.pages.orderview import (
    DOUBTED,
    OrderView,
    hook_advice,
    order_view,
    stopped_words,
)
from service.web.pages.outcomeview import FELT, FIELDS, LABELS
from service.web.pages.ownerdoor import language_names
from service.web.pages.ownerview import owner_view
from service.web.pages.promising import for_order
from service.web.pages.render import page
from service.web.pages.suggesting import suggested
from service.web.pages.together import together_view
from service.web.pages.typed import Form, Typed, Values, last, read_body, tree_of, version_of
from service.web.problems import fields_of, status_of
from sizing.dogs import Field
from sizing.errors import ValueOutOfRangeError
from sizing.money import MOST_MONEY

router = APIRouter(prefix="/orders")
SEE_OTHER = 303
MOST_NOTE = 2000


def _show(
    database: Database, clock: Clock, number: str, form: Form | None = None, status: int = 200
) -> HTMLResponse:
    with database.reading() as session:
        order = found(session, number)
        prior, now = prior_of(session), clock()
        view = order_view(order, now.date(), prior)
        owner = owner_view(session, order.order, prior, now)
        stranger = enquiry_of(session, order.order)
        shop, _ = shop_of(session)
        care_sheet = care_sheet_of(session, order.order.id)
        money = money_view(session, order)
        notes = paper_notes(order, shop)
        time = spent_on(desk_of(session, order.order), now) if order.plan else None
        together = together_view(session, order)
        hint = suggested(suggestion_for(session, order), view.order.asked.unit)
        promised = for_order(session, order.order, now.date())
    shown = form or Form(_ended(view, time))
    return page(
        "order.html",
        status,
        view=view,
        order=view.order,
        owner=owner,
        enquiry=stranger if stranger and not stranger.looked_at else None,
        typed_by_stranger=lines_as_typed(stranger) if stranger else (),
        languages=language_names(),
        form=shown,
        labels=LABELS | PAYMENT,
        words=words,
        felt=FELT,
        money=money,
        paper_notes=notes,
        spent=time,
        stopped=stopped_words(view.stopped) if view.stopped else "",
        severity=words.SEVERITY,
        paper=shop.paper,
        promised=promised,
        together=together,
        suggested=hint,
        hook_advice=hook_advice(order.plan.hook_mm, shop.hooks) if order.plan else "",
        care_sheet=care_sheet,
        earning=_earning(order, form.text("at") if form else ""),
    )


def _ended(view: OrderView, time: TimeView | None) -> Values:
    """Return what was told of a finished hood; until then, the time that the bench measured."""
    if view.ended is None:
        return {}
    measured = time and not view.ended.told
    return {"minutes": (f"{time.minutes:.0f}",)} if time and measured else view.ended.values


@router.get("/{number}")
def order_page(
    number: str,
    database: DatabaseOf,
    clock: ClockOf,
    at: Annotated[str, Query(max_length=40)] = "",
) -> HTMLResponse:
    """Show an order; `at` is a price of which the maker asks what it would earn."""
    return _show(database, clock, number, Form({"at": (at,)}) if at else None)


def _earning(order: Found, at: str) -> str:
    """Return what a price typed by the maker would earn, or what is wrong with it."""
    if not at or order.plan is None:
        return ""
    try:
        paid = Decimal(at.strip().replace(",", "."))
    except InvalidOperation:
        return "Write the price as a number, for example 45 or 45.50."
    if not paid.is_finite() or not 0 < paid <= int(MOST_MONEY.value):
        return "A price is more than 0 and not so large."
    asked, rates = order.asked, order.order.rates
    plan = order.plan
    hourly = earned_at(plan, asked, RatesIn.model_validate(rates), paid)
    return f"At {paid} {plan.price.currency} an hour of this work earns you {hourly}."


def _field(values: Values) -> str:
    """Return the measurement, or the word on the dog, that a form is about.

    Raises:
        NotFoundError: if there is none of that name.
    """
    name = last(values, "field")
    if name not in {*Field, *DOUBTED}:
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


@router.post("/{number}/payment")
def payment(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Write a payment down, or say beside its fields what is wrong."""
    try:
        write_down(number, read_payment(typed), database, clock)
    except UnreadableError as error:
        return _show(database, clock, number, Form(typed, fields_of(error)), status_of(error))
    return RedirectResponse(f"/orders/{number}#money", SEE_OTHER)


@router.post("/{number}/credit")
def credit(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Take a sum off the invoice, or say beside its fields what is wrong."""
    try:
        take_off(number, read_credit(typed), database, clock)
    except UnreadableError as error:
        return _show(database, clock, number, Form(typed, fields_of(error)), status_of(error))
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
        return _show(database, clock, number, form, status_of(error))
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
        return _show(database, clock, number, form, status_of(error))
    return RedirectResponse(f"/orders/{number}#fit", SEE_OTHER)
