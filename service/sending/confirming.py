"""The link by which a buyer confirms having read the cautions.

The secret stands in the mail alone; here is its digest. An unknown, an outdated and a
mistyped one are answered alike, so that trying tells nothing.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from sqlmodel import Session, col, select

from service import links
from service.errors import NotFoundError
from service.models import Confirmation, Delivery, Order
from service.sending.rows import record

READ_CAUTIONS: Final = "read the cautions"
GOOD_FOR: Final = timedelta(days=90)


@dataclass(frozen=True, slots=True)
class Asked:
    """What a link asks its holder to confirm."""

    delivery: Delivery
    order: Order
    confirmed_at: datetime | None


def new_secret(session: Session, delivery: Delivery, now: datetime) -> str:
    """Return a new secret for a delivery's link; each mail that leaves has its own."""
    secret = links.new_secret()
    row = Confirmation(
        delivery_id=delivery.id or 0,
        token_hash=links.digest(secret),
        purpose=READ_CAUTIONS,
        created_at=now,
        expires_at=now + GOOD_FOR,
    )
    session.add(row)
    session.flush()
    return secret


def _row(session: Session, secret: str, now: datetime, *, lock: bool) -> Confirmation:
    row = None
    if known := links.digest_of(secret):
        query = select(Confirmation).where(col(Confirmation.token_hash) == known)
        row = session.exec(query.with_for_update() if lock else query).first()
    if row is None or row.purpose != READ_CAUTIONS or row.expires_at <= now:
        raise NotFoundError("This link is not valid, or no longer. Please ask the maker.")
    return row


def _asked(session: Session, row: Confirmation) -> Asked:
    delivery = session.get_one(Delivery, row.delivery_id)
    order = session.get_one(Order, delivery.order_id)
    used = select(Confirmation).where(
        col(Confirmation.delivery_id) == delivery.id, col(Confirmation.used_at).is_not(None)
    )
    first = session.exec(used.order_by(col(Confirmation.used_at))).first()
    return Asked(delivery, order, first.used_at if first else None)


def asked_of(session: Session, secret: str, now: datetime) -> Asked:
    """Return what a link asks; looking at it changes nothing.

    Raises:
        NotFoundError: if it is not valid, for whatever reason.
    """
    return _asked(session, _row(session, secret, now, lock=False))


def confirm(session: Session, secret: str, now: datetime) -> Asked:
    """Write down that the buyer has read the cautions; a second time changes nothing.

    Raises:
        NotFoundError: if the link is not valid, for whatever reason.
    """
    row = _row(session, secret, now, lock=True)
    asked = _asked(session, row)
    if asked.confirmed_at is not None:
        return asked
    row.used_at = now
    session.add(row)
    record(session, asked.delivery, now, "the buyer confirms having read the cautions.")
    session.flush()
    return Asked(asked.delivery, asked.order, now)


def confirmed_at(session: Session, order_id: int | None) -> datetime | None:
    """Return when the buyer of an order first confirmed having read the cautions, or None."""
    query = (
        select(Confirmation)
        .join(Delivery, col(Delivery.id) == col(Confirmation.delivery_id))
        .where(col(Delivery.order_id) == order_id, col(Confirmation.used_at).is_not(None))
    )
    first = session.exec(query.order_by(col(Confirmation.used_at)).limit(1)).first()
    return first.used_at if first else None
