"""Taking an order and changing one: one form, which works without script."""

import re
from secrets import token_urlsafe
from typing import Final

from fastapi.responses import HTMLResponse, RedirectResponse, Response
from sqlmodel import Session

from service.db import Database
from service.errors import (
    KeyReusedError,
    NotAllowedError,
    NotFoundError,
    StaleError,
    UnreadableError,
)
from service.orders import Clock, change_order, remembered, take_order
from service.owner.enquiries import adopt
from service.shelf import add_yarn
from service.together import join
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages import orderform, swatches, wishform, yarnform
from service.web.pages.desk import Desk, desk_for
from service.web.pages.drafting import forget, keep
from service.web.pages.showing import show
from service.web.pages.typed import Form, Typed, Values, last, version_of
from service.web.parts import page_part
from service.web.problems import fields_of, status_of
from sizing.errors import ValueOutOfRangeError

router = page_part()
KEY: Final = re.compile(r"[A-Za-z0-9_-]{1,100}")
SEE_OTHER: Final = 303


def _key(values: Values) -> str:
    """Return the form's key, or a new one where there is none of ours."""
    key = last(values, "key")
    return key if KEY.fullmatch(key) else token_urlsafe(16)


def _refuse(database: Database, values: Values, desk: Desk, error: Exception) -> HTMLResponse:
    form = orderform.refused(values, fields_of(error), desk.prior)
    return show(database, form, desk, status_of(error), "" if form.wrong else str(error))


def _keep_for_later(database: Database, clock: Clock, values: Values) -> Response:
    """Keep what is typed; what was typed elsewhere meanwhile stays beside it."""
    try:
        keep(database, clock, values, _key(values))
    except StaleError:
        keep(database, clock, values | {"draft": ()}, token_urlsafe(16))
    return RedirectResponse("/", SEE_OTHER)


@router.post("/orders/new")
def take_an_order(typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Take the order that is typed, or say beside its fields what is wrong."""
    values = wishform.packed(yarnform.packed(orderform.used(typed))) | {"key": (_key(typed),)}
    with database.reading() as session:
        desk = desk_for(session, clock)
    if last(values, "do") == "later":
        return _keep_for_later(database, clock, values)
    if last(values, "do") != "take":
        values = swatches.used(values, desk.kept)
        return show(database, orderform.checked(values, desk.prior), desk)

    def work(session: Session) -> str:
        key = _key(values)
        known = remembered(session, key, asked)
        described = last(values, orderform.CHOICE) == orderform.NEW
        if known is None and described and last(values, "shelve"):
            add_yarn(session, asked.yarn)
        order = take_order(session, asked, clock(), key)
        if last(values, "enquiry").isdecimal():
            adopt(session, int(last(values, "enquiry")[:9]), order, clock())
        if first := last(values, "first"):
            join(session, order.number, first, clock())
        forget(session, values)
        return order.number

    try:
        asked = orderform.read_order(values, desk.shelf)
        number = database.write(work)
    except KeyReusedError as error:
        fresh = orderform.checked(values | {"key": (token_urlsafe(16),)}, desk.prior)
        said = "This form has made an order already. Take it once more for a second order."
        return show(database, fresh, desk, status_of(error), said)
    except (UnreadableError, ValueOutOfRangeError) as error:
        return _refuse(database, values, desk, error)
    except (NotAllowedError, NotFoundError) as error:  # what it should go together with
        form = orderform.checked(values | {"first": ()}, desk.prior)
        said = f"{error} Take it once more, and it is an order of its own."
        return show(database, form, desk, status_of(error), said)
    return RedirectResponse(f"/orders/{number}", SEE_OTHER)


@router.get("/orders/{number}/edit")
def edit_order(number: str, database: DatabaseOf, clock: ClockOf) -> HTMLResponse:
    """Show the form filled with an order."""
    with database.reading() as session:
        desk = desk_for(session, clock, number)
    assert desk.order  # noqa: S101 - `_desk` finds it or refuses
    assert desk.asked  # noqa: S101 - as the order
    values = orderform.filled(desk.asked) | {"version": (str(desk.order.version),)}
    return show(database, orderform.checked(values, desk.prior), desk)


def _stale(database: Database, values: Values, desk: Desk, error: StaleError) -> HTMLResponse:
    """Show what was typed on an older version, and what the order holds now beside it."""
    assert desk.order  # noqa: S101 - only an order that is there can be newer
    assert desk.asked  # noqa: S101 - as the order
    newer = values | {"version": (str(desk.order.version),)}
    judged = orderform.judge(newer, desk.prior)
    now = orderform.differing(values, orderform.filled(desk.asked))
    said = (
        "The order was changed while you wrote. Nothing of yours is lost, and nothing is saved"
        " yet: below is what you typed, and beside it what the order holds now."
    )
    return show(
        database, Form(newer, judged.wrong, judged.said, now), desk, status_of(error), said
    )


@router.post("/orders/{number}/edit")
def save_order(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Save what is typed, or say beside its fields what is wrong."""
    values = wishform.packed(yarnform.packed(orderform.used(typed)))
    with database.reading() as session:
        desk = desk_for(session, clock, number)
    if last(values, "do") != "take":
        values = swatches.used(values, desk.kept)
        return show(database, orderform.checked(values, desk.prior), desk)
    try:
        # Without `accepted`: a stop stays accepted as long as its number stays what it was.
        patch = orderform.read_order(values, desk.shelf).model_dump(
            mode="json", exclude={"accepted"}
        )
        with database.writing() as session:
            change_order(session, number, patch, version_of(values), clock())
    except StaleError as error:
        return _stale(database, values, desk, error)
    except (UnreadableError, ValueOutOfRangeError) as error:
        return _refuse(database, values, desk, error)
    return RedirectResponse(f"/orders/{number}", SEE_OTHER)
