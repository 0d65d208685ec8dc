"""Taking an order and changing one: one form, which works without script."""

import re
from dataclasses import dataclass
from secrets import token_urlsafe
from typing import Annotated, Final

from fastapi import APIRouter, Query
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from sqlmodel import Session

from service.bodies import OrderIn, YarnIn
from service.errors import KeyReusedError, StaleError, UnreadableError
from service.experience import prior_of
from service.models import Order
from service.orders import Clock, change_order, order_by_number, remembered, take_order
from service.owner.enquiries import adopt, fields_typed
from service.shelf import Shelved, add_yarn, choices, shelf
from service.shop import shop_of
from service.states import State, check_editable
from service.web.dependencies import HIGHEST_ID, ClockOf, DatabaseOf
from service.web.pages import labels, orderform, swatches, wishform, words, yarnform
from service.web.pages.figures import dog
from service.web.pages.promising import Outlook, for_form, outlook
from service.web.pages.render import page
from service.web.pages.typed import Form, Typed, Values, last, version_of
from service.web.problems import fields_of, status_of
from sizing.breeds import BREEDS
from sizing.doctor.learn import Prior
from sizing.errors import ValueOutOfRangeError

router = APIRouter()
KEY: Final = re.compile(r"[A-Za-z0-9_-]{1,100}")
SEE_OTHER: Final = 303
_NAMES: Final = tuple(breed.name for breed in BREEDS)


@dataclass(frozen=True, slots=True)
class Desk:
    """What lies ready for the form.

    Attributes:
        shelf: the yarns to choose from.
        prior: what finished hoods have taught of usual lengths.
        order: the order that is changed, or None for a new one.
        kept: the yarns of the shelf with their swatches.
        outlook: the queue, for the date that can be promised.
    """

    shelf: dict[str, YarnIn]
    prior: Prior
    outlook: Outlook
    order: Order | None = None
    kept: tuple[Shelved, ...] = ()

    @property
    def asked(self) -> OrderIn | None:
        """Return what the order asks for now."""
        return OrderIn.model_validate(self.order.asked) if self.order else None


def _desk(session: Session, clock: Clock, number: str = "") -> Desk:
    yarns, prior, known = choices(session), prior_of(session), tuple(shelf(session))
    seen = outlook(session, clock().date())
    if not number:
        return Desk(yarns, prior, seen, kept=known)
    order = order_by_number(session, number)
    check_editable(State(order.state))
    kept = {orderform.KEPT: YarnIn.model_validate(order.asked["yarn"])}
    return Desk(kept | yarns, prior, seen, order, known)


def _show(form: Form, desk: Desk, status: int = 200, banner: str = "") -> HTMLResponse:
    number = desk.order.number if desk.order else ""
    return page(
        "order_form.html",
        status,
        form=form,
        desk=desk,
        banner=banner,
        dog=dog(),
        breeds=_NAMES,
        words=words,
        places=yarnform.PLACES,
        shapes=wishform.shown(form.values),
        labels=labels.ORDER,
        swatches=swatches.offered(desk.kept),
        promised=for_form(form.values, desk.shelf, desk.outlook, number),
    )


def _key(values: Values) -> str:
    """Return the form's key, or a new one where there is none of ours."""
    key = last(values, "key")
    return key if KEY.fullmatch(key) else token_urlsafe(16)


def _refuse(values: Values, desk: Desk, error: Exception) -> HTMLResponse:
    form = orderform.refused(values, fields_of(error), desk.prior)
    return _show(form, desk, status_of(error), "" if form.wrong else str(error))


@router.get("/orders/new")
def new_order(
    database: DatabaseOf,
    clock: ClockOf,
    enquiry: Annotated[int, Query(ge=0, le=HIGHEST_ID)] = 0,
) -> HTMLResponse:
    """Show the empty form, or one with what a stranger typed in an enquiry."""
    with database.reading() as session:
        desk = _desk(session, clock)
        shop, _ = shop_of(session)
        typed = fields_typed(session, enquiry) if enquiry else {}
    values = orderform.blank(shop, desk.shelf) | {"key": (token_urlsafe(16),)}
    if not typed:
        return _show(Form(values), desk)
    return _show(orderform.checked(values | typed, desk.prior), desk)


@router.post("/orders/new")
def take_an_order(typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Take the order that is typed, or say beside its fields what is wrong."""
    values = wishform.packed(yarnform.packed(orderform.used(typed))) | {"key": (_key(typed),)}
    with database.reading() as session:
        desk = _desk(session, clock)
    if last(values, "do") != "take":
        values = swatches.used(values, desk.kept)
        return _show(orderform.checked(values, desk.prior), desk)

    def work(session: Session) -> str:
        key = _key(values)
        known = remembered(session, key, asked)
        described = last(values, orderform.CHOICE) == orderform.NEW
        if known is None and described and last(values, "shelve"):
            add_yarn(session, asked.yarn)
        order = take_order(session, asked, clock(), key)
        if last(values, "enquiry").isdecimal():
            adopt(session, int(last(values, "enquiry")[:9]), order, clock())
        return order.number

    try:
        asked = orderform.read_order(values, desk.shelf)
        number = database.write(work)
    except KeyReusedError as error:
        fresh = orderform.checked(values | {"key": (token_urlsafe(16),)}, desk.prior)
        said = "This form has made an order already. Take it once more for a second order."
        return _show(fresh, desk, status_of(error), said)
    except (UnreadableError, ValueOutOfRangeError) as error:
        return _refuse(values, desk, error)
    return RedirectResponse(f"/orders/{number}", SEE_OTHER)


@router.get("/orders/{number}/edit")
def edit_order(number: str, database: DatabaseOf, clock: ClockOf) -> HTMLResponse:
    """Show the form filled with an order."""
    with database.reading() as session:
        desk = _desk(session, clock, number)
    assert desk.order  # noqa: S101 - `_desk` finds it or refuses
    assert desk.asked  # noqa: S101 - as the order
    values = orderform.filled(desk.asked) | {"version": (str(desk.order.version),)}
    return _show(orderform.checked(values, desk.prior), desk)


def _stale(values: Values, desk: Desk, error: StaleError) -> HTMLResponse:
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
    return _show(Form(newer, judged.wrong, judged.said, now), desk, status_of(error), said)


@router.post("/orders/{number}/edit")
def save_order(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Save what is typed, or say beside its fields what is wrong."""
    values = wishform.packed(yarnform.packed(orderform.used(typed)))
    with database.reading() as session:
        desk = _desk(session, clock, number)
    if last(values, "do") != "take":
        values = swatches.used(values, desk.kept)
        return _show(orderform.checked(values, desk.prior), desk)
    try:
        # Without `accepted`: a stop stays accepted as long as its number stays what it was.
        patch = orderform.read_order(values, desk.shelf).model_dump(
            mode="json", exclude={"accepted"}
        )
        with database.writing() as session:
            change_order(session, number, patch, version_of(values), clock())
    except StaleError as error:
        return _stale(values, desk, error)
    except (UnreadableError, ValueOutOfRangeError) as error:
        return _refuse(values, desk, error)
    return RedirectResponse(f"/orders/{number}", SEE_OTHER)
