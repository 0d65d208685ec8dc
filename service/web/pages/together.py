"""Several hoods of one buyer on the order's page: what goes together, and what may."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from fastapi.responses import RedirectResponse, Response
from sqlmodel import Session

from service.orders import Found
from service.states import State
from service.together import candidates, join, move_all, part
from service.web.dependencies import ClockOf, DatabaseOf
from service.web.pages.typed import Typed, last, version_of
from service.web.pages.words import capital, move_words, next_move
from service.web.parts import page_part

router = page_part("/orders")
SEE_OTHER: Final = 303


@dataclass(frozen=True, slots=True)
class BesideLine:
    """An order that goes together with another one."""

    number: str
    dog: str
    state: str
    due: date | None
    total: str


@dataclass(frozen=True, slots=True)
class TogetherView:
    """What goes together with an order.

    Attributes:
        lines: the other orders.
        total: the price over all that are not cancelled, or nothing while one has no plan.
        leaves: whether the order can be taken away from them.
        candidates: other orders of the buyer, number and dog, that it could go together with.
        move: the step that all may take at once, and what its button says.
    """

    lines: tuple[BesideLine, ...]
    total: str
    leaves: bool
    candidates: tuple[tuple[str, str], ...]
    move: tuple[str, str] | None


def _line(one: Found) -> BesideLine:
    price = one.plan.price if one.plan else None
    return BesideLine(
        number=one.order.number,
        dog=one.order.asked["dog"]["name"],
        state=capital(one.order.state),
        due=one.order.due,
        total=f"{price.total} {price.currency}" if price else "",
    )


def _total(order: Found) -> str:
    prices = [one.plan.price for one in order.together if one.plan]
    if len(prices) < len(order.together) or len({one.currency for one in prices}) != 1:
        return ""
    return f"{sum((one.total for one in prices), Decimal(0))} {prices[0].currency}"


def _move(order: Found) -> tuple[str, str] | None:
    """Return the step on which the buyer decides over all, where some stand with the order."""
    state = State(order.order.state)
    step = next_move(state) if state in {State.ENQUIRY, State.QUOTED} else None
    same = [one for one in order.beside if one.order.state == state]
    planned = all(one.plan for one in (order, *same))
    return (step.value, f"{move_words(state, step)}: all") if step and same and planned else None


def together_view(session: Session, order: Found) -> TogetherView:
    """Return what goes together with an order, and what could."""
    return TogetherView(
        lines=tuple(map(_line, order.beside)),
        total=_total(order) if order.beside else "",
        leaves=bool(order.beside) and order.first.id != order.order.id,
        candidates=tuple((n, dog or "unnamed dog") for n, dog in candidates(session, order)),
        move=_move(order),
    )


@router.post("/{number}/together")
def put_together(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Put the order together with another one of its buyer."""
    with database.writing() as session:
        join(session, number, last(typed, "with"), clock())
    return RedirectResponse(f"/orders/{number}#together", SEE_OTHER)


@router.post("/{number}/apart")
def take_apart(number: str, _typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Take the order away from those beside it."""
    with database.writing() as session:
        part(session, number, clock())
    return RedirectResponse(f"/orders/{number}#together", SEE_OTHER)


@router.post("/{number}/together/state")
def move_together(number: str, typed: Typed, database: DatabaseOf, clock: ClockOf) -> Response:
    """Move the order, and with it those that stand where it stands."""
    with database.writing() as session:
        move_all(session, number, last(typed, "to"), version_of(typed), clock())
    return RedirectResponse(f"/orders/{number}", SEE_OTHER)
