"""Which orders of one buyer go together: a first one, and those that name it."""

from sqlmodel import Session, col, or_, select

from service.models import Order, Together


def set_of(session: Session, order: Order) -> list[Order]:
    """Return the orders that go together with one, itself among them, the first of them first."""
    mine = select(Together.first_id).where(col(Together.order_id) == order.id).scalar_subquery()
    named = (
        select(Order)
        .outerjoin(Together, col(Together.order_id) == col(Order.id))
        .where(
            or_(
                col(Order.id) == order.id,
                col(Order.id) == mine,
                col(Together.first_id) == order.id,
                col(Together.first_id) == mine,
            )
        )
    )
    return list(session.exec(named.order_by(col(Order.id))))
