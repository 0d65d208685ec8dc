"""Deliveries as rows: found, claimed by a worker, and told about in the order's history."""

from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import ColumnElement, and_, or_
from sqlmodel import Session, col, select

from service.errors import NotFoundError
from service.given import DeliveryState
from service.models import Delivery, DeliveryPaper, DoorEvent, OrderEvent, PaperCopy
from service.orders import order_by_number
from service.sending.kinds import MAILS, PAPERS

LONGEST_PAUSE: Final = timedelta(hours=25)
"""No pause between two attempts is as long, and no claim."""


def name_of(delivery: Delivery) -> str:
    """Return what the maker calls a delivery."""
    if delivery.kind in MAILS and delivery.message_id:
        return MAILS[delivery.kind].name
    return PAPERS[delivery.kind].name if delivery.kind in PAPERS else delivery.kind


def record(session: Session, delivery: Delivery, now: datetime, said: str) -> None:
    """Write down in the order's history what happened to a delivery."""
    sentence = f"{name_of(delivery)}: {said}"
    change = {"said": sentence[:1500], "delivery": delivery.id}
    event = OrderEvent(order_id=delivery.order_id, at=now, kind="delivery", change=change)
    session.add(event)


def delivery_of(
    session: Session, number: str, delivery_id: int, *, lock: bool = False
) -> Delivery:
    """Return a delivery of an order.

    Raises:
        NotFoundError: if the order has none of that number.
    """
    order = order_by_number(session, number)
    row = session.get(Delivery, delivery_id, with_for_update=lock)
    if row is None or row.order_id != order.id:
        raise NotFoundError("The order has no such delivery. Look at its papers.")
    return row


def papers_of(session: Session, delivery: Delivery) -> list[PaperCopy]:
    """Return the papers of a delivery, in their order."""
    query = (
        select(PaperCopy)
        .join(DeliveryPaper, col(DeliveryPaper.paper_id) == col(PaperCopy.id))
        .where(col(DeliveryPaper.delivery_id) == delivery.id)
        .order_by(col(DeliveryPaper.place))
    )
    return list(session.exec(query))


def deliveries(session: Session, order_id: int | None) -> list[Delivery]:
    """Return the deliveries of an order, the latest first."""
    query = select(Delivery).where(col(Delivery.order_id) == order_id)
    return list(session.exec(query.order_by(col(Delivery.id).desc())))


def is_due(kind: type[Delivery | DoorEvent], now: datetime) -> tuple[ColumnElement[bool], ...]:
    """Return what a mail of some kind satisfies that is due.

    A moment farther off than any pause or claim reaches was set before the clock was put back: it
    is over, or a mail would wait for the day that was wrong.
    """
    claimed, next_at = col(kind.claimed_until), col(kind.next_at)
    never_tried = and_(col(kind.attempts) == 0, claimed.is_(None))
    return (
        col(kind.state) == DeliveryState.WAITING.value,
        or_(never_tried, next_at <= now, next_at > now + LONGEST_PAUSE),
        or_(claimed.is_(None), claimed <= now, claimed > now + LONGEST_PAUSE),
    )


def due(session: Session, now: datetime) -> list[int]:
    """Return the deliveries that are to be sent now, those that were written first."""
    # By number and not by moment: the clock may have been put back between two of them.
    query = select(col(Delivery.id)).where(*is_due(Delivery, now)).order_by(col(Delivery.id))
    return [one for one in session.exec(query) if one is not None]


def due_again(session: Session) -> datetime | None:
    """Return when the next delivery is due, or None if nothing waits."""
    query = select(Delivery).where(col(Delivery.state) == DeliveryState.WAITING.value)
    moments = [max(row.next_at, row.claimed_until or row.next_at) for row in session.exec(query)]
    return min(moments, default=None)


def claimed(session: Session, delivery_id: int, now: datetime, until: datetime) -> Delivery | None:
    """Return a delivery claimed for sending, or None if it is not due or another has it."""
    query = select(Delivery).where(col(Delivery.id) == delivery_id, *is_due(Delivery, now))
    row = session.exec(query.with_for_update(skip_locked=True)).first()
    if row is not None:
        row.claimed_until = until
        row.attempts += 1
        session.add(row)
        session.flush()
    return row
