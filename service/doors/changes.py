"""Changes of how somebody comes in: written down, and told until they say that they know.

Whoever has made a change need not be told of it, but all the account's other sign-ins are, those
of later above all: a thief who changes something in a browser cannot say “I know” there.
"""

from datetime import datetime
from typing import Final

from sqlmodel import Session, col, select, update

from service.doorwords import Change
from service.given import DeliveryState
from service.models import DoorEvent

MOST: Final = 20
"""Changes that a page lists."""


def note(
    session: Session,
    account_id: int | None,
    change: Change,
    now: datetime,
    *,
    about: str = "",
    seen_in: str = "",
    known: bool = False,
) -> None:
    """Write down a change.

    Args:
        session: in whose transaction the change is made.
        account_id: whose way in it is.
        change: what was done.
        now: when.
        about: which key, or that it was done on the machine.
        seen_in: digest of the sign-in's secret in which it was made.
        known: whether nobody needs to be told, as with the first password of all.
    """
    session.add(
        DoorEvent(
            account_id=account_id or 0,
            at=now,
            kind=change.value,
            about=about,
            seen_in=seen_in,
            known_at=now if known else None,
            state="" if known else DeliveryState.WAITING.value,
            next_at=now,
        )
    )
    session.flush()


def latest(session: Session, account_id: int) -> list[DoorEvent]:
    """Return the last changes of an account, the latest first."""
    query = select(DoorEvent).where(col(DoorEvent.account_id) == account_id)
    return list(session.exec(query.order_by(col(DoorEvent.id).desc()).limit(MOST)))


def untold(session: Session, account_id: int, seen_in: str) -> list[DoorEvent]:
    """Return the changes that a sign-in is to be told of, the oldest first and not too many.

    Args:
        session: to ask by.
        account_id: whose they are.
        seen_in: digest of the sign-in's secret.
    """
    query = select(DoorEvent).where(
        col(DoorEvent.account_id) == account_id,
        col(DoorEvent.known_at).is_(None),
        col(DoorEvent.seen_in) != seen_in,
    )
    return list(session.exec(query.order_by(col(DoorEvent.id)).limit(MOST)))


def link_used(session: Session, account_id: int | None, now: datetime) -> None:
    """Write down that a link was used: that it was made is no news beside it."""
    those = update(DoorEvent).where(
        col(DoorEvent.account_id) == account_id,
        col(DoorEvent.kind) == Change.LINK.value,
        col(DoorEvent.known_at).is_(None),
    )
    session.exec(those.values(known_at=now))


def known(session: Session, account_id: int, seen_in: str, until: int, now: datetime) -> None:
    """Write down that somebody knows of the changes that a sign-in was told of.

    Args:
        session: to write by.
        account_id: whose they are.
        seen_in: digest of the sign-in's secret; its own changes stay for others to know.
        until: the last one that was shown; later ones have not been seen.
        now: when.
    """
    those = update(DoorEvent).where(
        col(DoorEvent.account_id) == account_id,
        col(DoorEvent.known_at).is_(None),
        col(DoorEvent.seen_in) != seen_in,
        col(DoorEvent.id) <= until,
    )
    session.exec(those.values(known_at=now))
