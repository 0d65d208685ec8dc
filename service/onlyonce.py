"""What is done once, though it is asked for twice: keys, and what came with each.

Whoever gets no answer asks again, and cannot know whether it was done. With a key it is done once.
"""

import hashlib
import json
from datetime import datetime

from sqlmodel import Session

from service.errors import KeyReusedError
from service.fields import Body
from service.models import Order, RememberedKey


def fingerprint(told: Body | None) -> str:
    """Return a digest by which what is told again is known as the same."""
    plain = told.model_dump(mode="json", exclude_defaults=True) if told else None
    return hashlib.sha256(json.dumps(plain, sort_keys=True).encode()).hexdigest()


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
    known = session.get(RememberedKey, _whole(order, what, key)) if key else None
    if known is None:
        return None
    if known.fingerprint != fingerprint(told):
        raise KeyReusedError(f"This key was used for another {what}. Use a new key for a new one.")
    return known.at


def remember(
    session: Session, order: Order, what: str, key: str | None, told: Body | None, now: datetime
) -> None:
    """Keep that something was done with an order by a key, where there is one."""
    if key:
        mark, order_id = fingerprint(told), order.id or 0
        whole = _whole(order, what, key)
        session.add(RememberedKey(key=whole, fingerprint=mark, order_id=order_id, at=now))
        session.flush()
