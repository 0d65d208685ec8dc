"""A new order begun: from nothing, from an enquiry, from a buyer or a dog that is known."""

from collections.abc import Sequence
from dataclasses import replace
from secrets import token_urlsafe
from typing import Annotated, Final

from fastapi import Query
from fastapi.responses import HTMLResponse
from sqlmodel import Session

from documents.figures import date_text
from service.again import Again, Reminder, again, known_buyer, known_dogs
from service.bodies import OrderIn, YarnIn
from service.models import Order
from service.orders import Clock, order_by_number
from service.owner.enquiries import fields_typed
from service.shelf import Shelved
from service.shop import shop_of
from service.web.dependencies import HIGHEST_ID, ClockOf, DatabaseOf
from service.web.pages import orderform, yarnform
from service.web.pages.desk import Desk, Opening, desk_for
from service.web.pages.drafting import listed, opened
from service.web.pages.showing import show
from service.web.pages.typed import Form, Values, flat_of
from service.web.parts import page_part

router = page_part()
GROWING: Final = (
    "{dog} was still growing when it was measured on {day}: measure it again. What it was then"
    " stands above each field."
)
OLD: Final = (
    "{dog} was measured on {day}, more than a year ago. Ask whether weight or coat have changed"
    " since; better, have it measured again."
)


def blank(session: Session, desk: Desk) -> Values:
    """Return the values of a new form, with a key of its own."""
    shop, _ = shop_of(session)
    return orderform.blank(shop, desk.shelf) | {"key": (token_urlsafe(16),)}


def _yarn(yarn: YarnIn, shelf: dict[str, YarnIn], kept: Sequence[Shelved]) -> Values:
    """Return the yarn of an earlier order: its lot, the fullest lot of it, or it described."""
    for choice, one in shelf.items():
        if (one.name, one.lot) == (yarn.name, yarn.lot):
            return {orderform.CHOICE: (choice,)}
    lots = [
        (lot.balls, f"{one.row.id}.{lot.id}")
        for one in kept
        if one.row.name == yarn.name
        for lot in one.lots
    ]
    if lots:
        return {orderform.CHOICE: (max(lots)[1],)}
    told = {f"yarn.{name}": texts for name, texts in flat_of(yarn).items()}
    return told | {orderform.CHOICE: (orderform.NEW,), "shelve": ()}


def _repeated(desk: Desk, start: Values, told: Again) -> Opening:
    """Return the form of another hood; a growing dog's lengths are shown, and asked for again."""
    told_before = orderform.filled(told.asked)
    lengths = {n: t for n, t in told_before.items() if n.startswith("measurements.")}
    yarn = _yarn(told.asked.yarn, desk.shelf, desk.kept)
    values = yarnform.BLANK | start | told_before | yarn
    name, day = told.asked.dog.name or "The dog", date_text(told.measured)
    if told.reminder is not Reminder.GROWING:
        remark = OLD.format(dog=name, day=day) if told.reminder else ""
        return Opening(orderform.checked(values, desk.prior), remark)
    values = {n: t for n, t in values.items() if n not in lengths}
    form = orderform.checked(values, desk.prior)
    before = {n: f"{t[0]} on {day}" for n, t in lengths.items()}
    return Opening(replace(form, before=before), GROWING.format(dog=name, day=day))


def _of_buyer(session: Session, start: Values, buyer_id: int) -> Opening:
    told = flat_of(known_buyer(session, buyer_id))
    return Opening(Form(start | {f"buyer.{n}": t for n, t in told.items()}))


def _beside(opening: Opening, first: Order, desk: Desk) -> Opening:
    """Return the form for one more hood of an order's buyer, for the same day."""
    told = orderform.filled(OrderIn.model_validate(first.asked))
    shared = ("buyer.", "due", "language", "terms", "unit")
    kept = {n: t for n, t in told.items() if n.startswith(shared)}
    values = opening.form.values | kept | {"first": (first.number,)}
    form = orderform.checked(values, desk.prior)
    return replace(opening, form=replace(form, before=opening.form.before), sought=None, drafts=())


@router.get("/orders/new")
def new_order(
    database: DatabaseOf,
    clock: ClockOf,
    enquiry: Annotated[int, Query(ge=0, le=HIGHEST_ID)] = 0,
    again: Annotated[str, Query(max_length=20)] = "",
    buyer: Annotated[int, Query(ge=0, le=HIGHEST_ID)] = 0,
    draft: Annotated[int, Query(ge=0, le=HIGHEST_ID)] = 0,
    known: Annotated[str | None, Query(max_length=200)] = None,
    first: Annotated[str, Query(alias="with", max_length=20)] = "",
) -> HTMLResponse:
    """Show the form, empty or with what is known.

    Args:
        database: of the shop.
        clock: says what is old.
        enquiry: the enquiry whose words the form begins with.
        again: the order of which there shall be another.
        buyer: the buyer of the dog.
        draft: what was kept for later.
        known: words to find a buyer or a dog by.
        first: the order that this one shall go together with.
    """
    with database.reading() as session:
        desk = desk_for(session, clock)
        if draft:
            values = yarnform.BLANK | opened(session, draft)
            opening = Opening(orderform.checked(values, desk.prior))
        else:
            opening = _opening(session, desk, clock, (enquiry, again, buyer, known))
        if first:
            opening = _beside(opening, order_by_number(session, first), desk)
    return show(database, opening.form, desk, opening=opening)


def _opening(
    session: Session, desk: Desk, clock: Clock, wanted: tuple[int, str, int, str | None]
) -> Opening:
    enquiry, number, buyer, known = wanted
    start = blank(session, desk)
    if enquiry:
        return Opening(orderform.checked(start | fields_typed(session, enquiry), desk.prior))
    if number:
        return _repeated(desk, start, again(session, number, clock()))
    if buyer:
        return _of_buyer(session, start, buyer)
    found = tuple(known_dogs(session, known)) if known else ()
    kept = () if found else listed(session)
    return Opening(Form(start), sought=known, known=found, drafts=kept)
