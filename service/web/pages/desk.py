"""What lies ready while an order is taken or changed."""

from dataclasses import dataclass, field
from datetime import date

from sqlmodel import Session

from service.bodies import OrderIn, YarnIn
from service.experience import prior_of
from service.models import Order
from service.orders import Clock, order_by_number
from service.shelf import Shelved, choices, shelf
from service.states import State, check_editable
from service.web.pages import orderform
from service.web.pages.promising import Outlook, outlook
from service.web.pages.typed import Form
from sizing.doctor.learn import Prior


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
        drafts: what is kept for later: its number, whom it is for, and its day.
    """

    form: Form
    remark: str = ""
    sought: str | None = None
    known: tuple[object, ...] = field(default=())
    drafts: tuple[tuple[int, str, date], ...] = ()


def desk_for(session: Session, clock: Clock, number: str = "") -> Desk:
    """Return what lies ready for a new order, or for changing one.

    Raises:
        NotFoundError: if there is no such order.
        NotAllowedError: if its hood is on the hook already.
    """
    prior, known = prior_of(session), tuple(shelf(session))
    yarns = choices(known)
    seen = outlook(session, clock().date())
    if not number:
        return Desk(yarns, prior, seen, kept=known)
    order = order_by_number(session, number)
    check_editable(State(order.state))
    kept = {orderform.KEPT: YarnIn.model_validate(order.asked["yarn"])}
    return Desk(kept | yarns, prior, seen, order, known)
