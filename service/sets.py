"""Which orders of one buyer go together: a first one, and those that name it."""

from typing import Any, Final

from sqlalchemy import CompoundSelect, bindparam, union
from sqlmodel import Session, col, select

from service.models import Order, Together

_NAMED = select(Together.order_id)
_MINE = select(Together.first_id).where(col(Together.order_id) == bindparam("mine"))
# Each part finds its rows by an index; as one condition with OR they would be sought in all.
_PLACES: Final[CompoundSelect[Any]] = union(
    _MINE,
    _NAMED.where(col(Together.first_id) == bindparam("mine")),
    _NAMED.where(col(Together.first_id).in_(_MINE)),
)
# Built once: every page of an order asks it. Without the order itself: its plan is read already.
_BESIDE: Final = (
    select(Order)
    .where(col(Order.id).in_(_PLACES), col(Order.id) != bindparam("mine"))
    .order_by(col(Order.id))
)


def beside(session: Session, order: Order) -> list[Order]:
    """Return the other orders that go together with one, the first of them first."""
    found = session.execute(_BESIDE, {"mine": order.id})
    return list(found.scalars())


def set_of(session: Session, order: Order) -> list[Order]:
    """Return the orders that go together with one, itself among them, the first of them first."""
    return sorted((order, *beside(session, order)), key=lambda one: one.id or 0)
