"""Which orders of one buyer go together: a first one, and those that name it."""

from typing import Any

from sqlalchemy import CompoundSelect, union
from sqlmodel import Session, col, literal, select

from service.models import Order, Together


def set_of(session: Session, order: Order) -> list[Order]:
    """Return the orders that go together with one, itself among them, the first of them first."""
    first, named = col(Together.first_id), select(Together.order_id)
    mine = select(Together.first_id).where(col(Together.order_id) == order.id)
    # Each part finds its rows by an index; as one condition with OR they would be sought in all.
    places: CompoundSelect[Any] = union(
        select(literal(order.id)),
        mine,
        named.where(first == order.id),
        named.where(first.in_(mine)),
    )
    found = session.exec(select(Order).where(col(Order.id).in_(places)).order_by(col(Order.id)))
    return list(found)
