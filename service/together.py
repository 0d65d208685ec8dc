"""Several hoods for one buyer: orders that are offered, billed and sent as one.

Each hood stays an order of its own, with its number, plan, ticket and state; only the money and
the parcel are shared. Bills and payments of all are kept with the first order.
"""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, Final

from sqlalchemy import select as columns
from sqlmodel import Session, col, select

from service.bodies import RatesIn
from service.errors import NotAllowedError
from service.models import Bill, Order, OrderEvent, Payment, Together
from service.orders import Found, found, move_order, order_by_number
from service.sets import set_of
from service.states import MOVES, State

SAID: Final = "It goes together with order {number}."
MOST: Final = 20
APART: Final = "It no longer goes together with order {number}."


def _tax(order: Order) -> tuple[object, ...]:
    rates = RatesIn.model_validate(order.rates)
    return rates.currency, rates.tax, rates.tax_quoted


def check_one_tax(orders: Sequence[Order]) -> None:
    """Refuse orders that one paper about money cannot add up.

    Raises:
        NotAllowedError: if their currencies or taxes differ.
    """
    first = orders[0]
    for one in orders[1:]:
        if _tax(one) != _tax(first):
            reason = (
                f"Orders {first.number} and {one.number} were priced in another currency or with"
                " another tax, and one paper cannot add them up. Take them apart."
            )
            raise NotAllowedError(reason)


def priced(order: Found) -> tuple[Found, ...]:
    """Return the hoods that one paper about money is over.

    Raises:
        NotAllowedError: if one paper cannot add them up.
    """
    check_one_tax([one.order for one in order.together])
    return order.together


def _has_money(session: Session, order: Order) -> bool:
    kinds = ((Bill, Bill.order_id), (Payment, Payment.order_id))
    return any(
        session.exec(select(kind).where(col(column) == order.id).limit(1)).first()
        for kind, column in kinds
    )


def _open_invoice(session: Session, order: Order) -> str:
    bills = session.exec(select(Bill).where(col(Bill.order_id) == order.id)).all()
    cancelled = {one.cancels for one in bills}
    left = (one.number for one in bills if not one.cancels and one.number not in cancelled)
    return next(left, "")


def _check_unbilled(session: Session, first: Order) -> None:
    if invoice := _open_invoice(session, first):
        reason = (
            f"Invoice {invoice} is over these hoods as they are. Cancel it with a credit note"
            " first, then put together or take apart."
        )
        raise NotAllowedError(reason)


def candidates(session: Session, order: Found) -> list[tuple[str, str]]:
    """Return number and dog of the other orders that an order could be put together with."""
    row: Any = Order
    if order.order.state == State.CANCELLED or order.beside:
        return []
    query = columns(row.number, row.dog_name).where(row.buyer_id == order.order.buyer_id)
    done = (State.CANCELLED.value, State.HANDED_OVER.value)
    query = query.where(row.id != order.order.id, row.state.not_in(done))
    found = session.execute(query.order_by(row.id.desc()).limit(MOST))
    return [(number, dog) for number, dog in found]


def _tell(session: Session, order: Order, now: datetime, said: str) -> None:
    order.version += 1
    session.add(order)
    event = OrderEvent(order_id=order.id or 0, at=now, kind="together", change={"said": said})
    session.add(event)


def _locked(session: Session, number: str) -> Order:
    """Return an order, locked: two that join each other at once must not make a ring."""
    order = order_by_number(session, number)
    return session.get_one(Order, order.id, with_for_update=True, populate_existing=True)


def join(session: Session, number: str, other: str, now: datetime) -> None:
    """Put an order together with another one of its buyer, and with those beside that one.

    Raises:
        NotFoundError: if there is none of these numbers.
        NotAllowedError: if they are not of one buyer, cannot be added up, or are billed.
    """
    first_number = set_of(session, order_by_number(session, other))[0].number
    numbers = sorted({number, first_number})
    locked = {one: _locked(session, one) for one in numbers}
    order, first = locked[number], locked[first_number]
    if order.id == first.id or len(set_of(session, order)) > 1:
        raise NotAllowedError(f"Order {number} goes together with others already.")
    if order.buyer_id != first.buyer_id:
        raise NotAllowedError("Only orders of one buyer go together. Name and e-mail must agree.")
    if State.CANCELLED in {order.state, first.state}:
        raise NotAllowedError("A cancelled order goes together with none. Take it up again first.")
    if order.id is not None and first.id is not None and order.id < first.id:
        if len(set_of(session, first)) > 1:
            raise NotAllowedError(f"Put the orders together from order {first.number}'s side.")
        order, first = first, order
    if _has_money(session, order):
        reason = f"Order {order.number} has a bill or a payment of its own, so it stays alone."
        raise NotAllowedError(reason)
    _check_unbilled(session, first)
    check_one_tax([first, order])
    _tell(session, order, now, SAID.format(number=first.number))
    for one in set_of(session, first):
        _tell(session, one, now, SAID.format(number=order.number))
    session.add(Together(order_id=order.id or 0, first_id=first.id or 0))
    session.flush()


def part(session: Session, number: str, now: datetime) -> None:
    """Take an order away from those that it goes together with.

    Raises:
        NotFoundError: if there is none of that number.
        NotAllowedError: if it goes with none, is the first of them, or they are billed.
    """
    order = _locked(session, number)
    tie = session.get(Together, order.id)
    if tie is None:
        reason = f"Order {number} is the first, or alone. Take the others away from it."
        raise NotAllowedError(reason)
    first = session.get_one(Order, tie.first_id, with_for_update=True, populate_existing=True)
    _check_unbilled(session, first)
    session.delete(tie)
    session.flush()
    _tell(session, order, now, APART.format(number=first.number))
    for one in set_of(session, first):
        _tell(session, one, now, APART.format(number=order.number))
    session.flush()


def move_all(
    session: Session, number: str, to: str, version: int | None, now: datetime, note: str = ""
) -> None:
    """Move an order, and with it each beside it that stands where it stands.

    Raises:
        as `move_order`; then none is moved.
    """
    seen = found(session, number)
    old = seen.order.state
    move_order(session, number, to, version, now, note)
    for one in seen.beside:
        if one.order.state == old and to in MOVES[State(old)]:
            move_order(session, one.order.number, to, one.order.version, now, note)
