"""What lies ready while an order is taken or changed, and the form shown over it."""

from dataclasses import dataclass, field
from typing import Final

from fastapi.responses import HTMLResponse
from sqlmodel import Session

from service.bodies import OrderIn, YarnIn
from service.experience import prior_of
from service.models import Order
from service.orders import Clock, order_by_number
from service.shelf import Shelved, choices, shelf
from service.states import State, check_editable
from service.web.pages import labels, orderform, swatches, wishform, words, yarnform
from service.web.pages.figures import dog
from service.web.pages.promising import Outlook, for_form, outlook
from service.web.pages.render import page
from service.web.pages.typed import Form
from sizing.breeds import BREEDS
from sizing.doctor.learn import Prior

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


@dataclass(frozen=True, slots=True)
class Opening:
    """How a form for a new order begins.

    Attributes:
        form: its fields.
        remark: why to measure again, or nothing.
        sought: the words that a known buyer is looked for by, or None where none was looked for.
        known: who fits them.
    """

    form: Form
    remark: str = ""
    sought: str | None = None
    known: tuple[object, ...] = field(default=())


def desk_for(session: Session, clock: Clock, number: str = "") -> Desk:
    """Return what lies ready for a new order, or for changing one.

    Raises:
        NotFoundError: if there is no such order.
        NotAllowedError: if its hood is on the hook already.
    """
    yarns, prior, known = choices(session), prior_of(session), tuple(shelf(session))
    seen = outlook(session, clock().date())
    if not number:
        return Desk(yarns, prior, seen, kept=known)
    order = order_by_number(session, number)
    check_editable(State(order.state))
    kept = {orderform.KEPT: YarnIn.model_validate(order.asked["yarn"])}
    return Desk(kept | yarns, prior, seen, order, known)


def show(
    form: Form, desk: Desk, status: int = 200, banner: str = "", opening: Opening | None = None
) -> HTMLResponse:
    """Return the form for an order."""
    number = desk.order.number if desk.order else ""
    return page(
        "order_form.html",
        status,
        form=form,
        desk=desk,
        banner=banner,
        opening=opening,
        dog=dog(),
        breeds=_NAMES,
        words=words,
        places=yarnform.PLACES,
        shapes=wishform.shown(form.values),
        labels=labels.ORDER,
        swatches=swatches.offered(desk.kept),
        promised=for_form(form.values, desk.shelf, desk.outlook, number),
    )
