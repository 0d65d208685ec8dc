"""The addresses that a calendar program may subscribe to: made, found again, taken back.

Kept is a digest alone; an address opens the calendar and nothing else. One taken back is gone.
"""

from datetime import datetime
from typing import Final

from sqlmodel import Session, col, select

from service import links
from service.errors import NotAllowedError, NotFoundError
from service.models import CalendarLink

MOST: Final = 5
"""Addresses that are good at a time: a phone, a computer, and whoever shares the house."""


def make_address(session: Session, now: datetime) -> tuple[CalendarLink, str]:
    """Make an address; return it and its secret, which is nowhere kept.

    Raises:
        NotAllowedError: if there are many already.
    """
    if len(addresses(session)) >= MOST:
        raise NotAllowedError(f"There are {MOST} addresses already. Take one back first.")
    secret = links.new_secret()
    link = CalendarLink(token_hash=links.digest(secret), created_at=now)
    session.add(link)
    session.flush()
    return link, secret


def addresses(session: Session) -> list[CalendarLink]:
    """Return the addresses that are good, the newest first."""
    return list(session.exec(select(CalendarLink).order_by(col(CalendarLink.id).desc())))


def take_address_back(session: Session, link_id: int) -> None:
    """Take an address back: it opens nothing from now on.

    Raises:
        NotFoundError: if there is no such address.
    """
    link = session.get(CalendarLink, link_id)
    if link is None:
        raise NotFoundError("There is no such calendar address, or no longer.")
    session.delete(link)
    session.flush()


def opens(session: Session, secret: str) -> bool:
    """Return whether a secret opens the calendar."""
    known = links.digest_of(secret)
    query = select(CalendarLink.id).where(col(CalendarLink.token_hash) == known)
    return known is not None and session.exec(query).first() is not None
