"""What is done once, though it is asked for twice: keys, and what came with each.

Whoever gets no answer asks again, and cannot know whether it was done. With a key it is done once.
"""

import hashlib
import json
from datetime import datetime
from typing import Final, NamedTuple

from sqlalchemy import bindparam, insert, select
from sqlmodel import Session

from service.errors import KeyReusedError
from service.fields import Body
from service.models import Order, RememberedKey, table_of

_KEYS = table_of(RememberedKey)
# Built once, and without the ORM: every order asks the one and keeps by the other.
_KNOWN: Final = select(_KEYS.c.fingerprint, _KEYS.c.order_id, _KEYS.c.at).where(
    _KEYS.c.key == bindparam("known")
)
_KEEP: Final = insert(_KEYS)


class Remembered(NamedTuple):
    """What is kept of a key: what came with it, the order that it is about, and when that was."""

    fingerprint: str
    order_id: int
    at: datetime


def fingerprint(told: Body | None) -> str:
    """Return a digest by which what is told again is known as the same."""
    plain = told.model_dump(mode="json", exclude_defaults=True) if told else None
    return hashlib.sha256(json.dumps(plain, sort_keys=True).encode()).hexdigest()


def known(session: Session, key: str, what: str, told: Body | None) -> Remembered | None:
    """Return what is kept of a key, or None.

    Args:
        session: of the request.
        key: as it is kept.
        what: that is done by it, in a word.
        told: what came with it now.

    Raises:
        KeyReusedError: if it came with something else before.
    """
    row = session.execute(_KNOWN, {"known": key}).first()
    if row and row.fingerprint != fingerprint(told):
        raise KeyReusedError(
            f"This Idempotency-Key was used for another {what}. Use a new key for a new {what}."
        )
    return Remembered(*row) if row else None


def keep(session: Session, key: str, told: Body | None, order: Order, now: datetime) -> None:
    """Keep a key, what came with it, and the order that it is about."""
    mark, order_id = fingerprint(told), order.id or 0
    session.execute(_KEEP, {"key": key, "fingerprint": mark, "order_id": order_id, "at": now})


def _whole(order: Order, what: str, key: str) -> str:
    """Return a key as it is kept: one word may stand for another thing with another order."""
    return f"{order.number} {what} {key}"


def done_at(
    session: Session, order: Order, what: str, key: str | None, told: Body | None
) -> datetime | None:
    """Return when something was done with an order by a key, or None.

    Raises:
        KeyReusedError: if the key came with something else.
    """
    row = known(session, _whole(order, what, key), what, told) if key else None
    return row.at if row else None


def remember(
    session: Session, order: Order, what: str, key: str | None, told: Body | None, now: datetime
) -> None:
    """Keep that something was done with an order by a key, where there is one."""
    if key:
        keep(session, _whole(order, what, key), told, order, now)
