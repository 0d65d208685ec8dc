"""An order's page, put together, and kept while all that it tells is as it was."""

from datetime import datetime
from decimal import Decimal, InvalidOperation
from typing import Any

from fastapi.responses import HTMLResponse
from sqlmodel import Session

from service.bench.desk import desk_of
from service.db import Database
from service.earning import earning
from service.experience import prior_of
from service.nextfit import suggestion_for
from service.orders import Clock, Found, found
from service.owner.enquiries import enquiry_of
from service.papernotes import paper_notes
from service.questions import answers_to, noting
from service.sending.wire import care_sheet_of
from service.shop import shop_of
from service.web.kept import Kept, KeptPages
from service.web.pages import words
from service.web.pages.benchview import TimeView, followed_on, spent_on
from service.web.pages.enquiries import lines_as_typed
from service.web.pages.money import PAYMENT, money_view
from service.web.pages.orderview import OrderView, hook_advice, order_view, stopped_words
from service.web.pages.outcomeview import FELT, LABELS
from service.web.pages.ownerdoor import language_names
from service.web.pages.ownerview import owner_view
from service.web.pages.promising import for_order
from service.web.pages.render import again, page
from service.web.pages.suggesting import suggested
from service.web.pages.together import together_view
from service.web.pages.typed import Form, Values
from service.web.visitor import visitor
from sizing.money import MOST_MONEY


def _told(session: Session, number: str, now: datetime, form: Form | None) -> dict[str, Any]:
    """Return what the page of an order says at a moment."""
    order = found(session, number)
    prior = prior_of(session)
    view = order_view(order, now.date(), prior)
    stranger = enquiry_of(session, order.order)
    shop, _ = shop_of(session)
    desk = desk_of(session, order.order) if order.plan else None
    time = spent_on(desk, now) if desk else None
    return {
        "view": view,
        "order": view.order,
        "owner": owner_view(session, order.order, prior, now),
        "enquiry": stranger if stranger and not stranger.looked_at else None,
        "typed_by_stranger": lines_as_typed(stranger) if stranger else (),
        "languages": language_names(),
        "form": form or Form(_ended(view, time)),
        "labels": LABELS | PAYMENT,
        "words": words,
        "felt": FELT,
        "money": money_view(session, order),
        "paper_notes": paper_notes(order, shop),
        "spent": time,
        "followed": followed_on(desk) if desk else "",
        "stopped": stopped_words(view.stopped) if view.stopped else "",
        "severity": words.SEVERITY,
        "paper": shop.paper,
        "promised": for_order(session, order.order, now.date()),
        "together": together_view(session, order),
        "suggested": suggested(suggestion_for(session, order), view.order.asked.unit),
        "hook_advice": hook_advice(order.plan.hook_mm, shop.hooks) if order.plan else "",
        "care_sheet": care_sheet_of(session, order.order.id),
        "earns": _earns(order),
        "earning": _earning(order, form.text("at") if form else ""),
    }


def show_order(
    database: Database, clock: Clock, number: str, form: Form | None = None, status: int = 200
) -> HTMLResponse:
    """Return the page of an order, with what was typed into a form of it.

    Raises:
        NotFoundError: if there is none of that number.
    """
    with database.reading() as session:
        told = _told(session, number, clock(), form)
    return page("order.html", status, **told)


def _by_the_hour(told: dict[str, Any]) -> bool:
    """Return whether the page tells what changes within a day: a clock, a link that runs out."""
    return bool(told["spent"] or told["owner"].links)


def order_seen(database: Database, clock: Clock, number: str, kept: KeptPages) -> HTMLResponse:
    """Return the page of an order, as it was kept if nothing that it tells has changed.

    Raises:
        NotFoundError: if there is none of that number.
    """
    now = clock()
    about = (number, visitor(), now.date())
    with database.reading() as session:
        ready = kept.get(about, session.connection())
    if ready is not None:
        return again(ready)
    with database.steady() as session:
        connection = session.connection()
        with noting(connection) as asked:
            told = _told(session, number, now, None)
        answered = () if _by_the_hour(told) else answers_to(connection, asked)
    shown = page("order.html", **told)
    if answered:
        kept.keep(about, Kept(asked, answered, bytes(shown.body)))
    return shown


def _ended(view: OrderView, time: TimeView | None) -> Values:
    """Return what was told of a finished hood; until then, the time that the bench measured."""
    if view.ended is None:
        return {}
    measured = time and not view.ended.told
    return {"minutes": (f"{time.minutes:.0f}",)} if time and measured else view.ended.values


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
    found = earning(order, paid)
    return f"At {paid} {found.currency} an hour of this work earns you {found.per_hour}."


def _earns(order: Found) -> str:
    """Return what the price of an order earns; nothing where there is none."""
    if order.plan is None:
        return ""
    found = earning(order)
    return f"Earns you {found.per_hour} {found.currency} an hour, wage and profit together."
