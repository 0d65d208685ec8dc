"""What buyers have paid: written once, never changed; a payment back is one below zero."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from sqlmodel import Session, col, select

from service.bodies import PaymentIn
from service.models import Order, OrderEvent, Payment


@dataclass(frozen=True, slots=True)
class Paid:
    """What was paid in all, and the day of the latest payment."""

    amount: Decimal
    on: date | None


def payments_of(session: Session, order_id: int | None) -> list[Payment]:
    """Return an order's payments, oldest first."""
    query = select(Payment).where(col(Payment.order_id) == order_id).order_by(col(Payment.id))
    return list(session.exec(query))


def paid_of(session: Session, order_id: int | None) -> Paid:
    """Return what was paid for an order."""
    payments = payments_of(session, order_id)
    amount = sum((Decimal(one.amount) for one in payments), Decimal(0))
    return Paid(amount, max((one.on for one in payments), default=None))


def pay(session: Session, order: Order, told: PaymentIn, now: datetime) -> Payment:
    """Write a payment down, with the order's history."""
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
    return payment
