"""What buyers have paid: written once, never changed; a payment back is one below zero."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from sqlalchemy import bindparam
from sqlmodel import Session, col, select

from service.bodies import PaymentIn
from service.models import Order, OrderEvent, Payment
from service.onlyonce import done_at, remember


@dataclass(frozen=True, slots=True)
class Paid:
    """What was paid in all, and the day of the latest payment."""

    amount: Decimal
    on: date | None


# Built once: each page of an order asks it.
_PAYMENTS: Final = (
    select(Payment).where(col(Payment.order_id) == bindparam("order")).order_by(col(Payment.id))
)


def payments_of(session: Session, order_id: int | None) -> list[Payment]:
    """Return an order's payments, oldest first."""
    return list(session.exec(_PAYMENTS, params={"order": order_id}))


def paid_of(session: Session, order_id: int | None) -> Paid:
    """Return what was paid for an order."""
    return paid_by(payments_of(session, order_id))


def paid_by(payments: list[Payment]) -> Paid:
    """Return what some payments come to."""
    amount = sum((Decimal(one.amount) for one in payments), Decimal(0))
    return Paid(amount, max((one.on for one in payments), default=None))


def _known(session: Session, order: Order, told: PaymentIn, at: datetime) -> Payment:
    """Return the payment that was written down at a moment."""
    query = select(Payment).where(
        col(Payment.order_id) == order.id,
        col(Payment.at) == at,
        col(Payment.amount) == str(told.amount),
    )
    return session.exec(query.order_by(col(Payment.id)).limit(1)).one()


def pay(
    session: Session, order: Order, told: PaymentIn, now: datetime, key: str | None = None
) -> Payment:
    """Write a payment down, with the order's history; with a key, the same twice is one payment.

    Raises:
        KeyReusedError: if the key came with another payment.
    """
    if at := done_at(session, order, "payment", key, told):
        return _known(session, order, told, at)
    payment = Payment(
        order_id=order.id or 0,
        amount=str(told.amount),
        on=told.on or now.date(),
        note=told.note,
        at=now,
    )
    session.add(payment)
    change = {"paid": [None, str(told.amount)]}
    session.add(
        OrderEvent(order_id=order.id or 0, at=now, kind="paid", note=told.note, change=change)
    )
    session.flush()
    remember(session, order, "payment", key, told, now)
    return payment
