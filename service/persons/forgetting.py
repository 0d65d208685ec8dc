"""Erasing done wholly: the rows, the files of mails, and what a database keeps of deleted rows."""

import logging
from contextlib import suppress
from datetime import datetime
from email.parser import BytesHeaderParser
from pathlib import Path
from typing import Final

from sqlalchemy import func
from sqlmodel import Session, col, select

from service.db import Database
from service.errors import NotAllowedError
from service.models import Buyer, Order
from service.persons.buyers import CLOSED
from service.persons.erasing import Erased, erase
from service.shop import shop_of

log = logging.getLogger("hoodwright")
MOST: Final = 200
"""Buyers erased in one look: the rest waits for the next."""


def _delete_files(folder: Path, mails: frozenset[str]) -> None:
    """Delete mails that were written for the maker's own mail program, known by their ids."""
    for path in folder.glob("*.eml") if mails else ():
        with suppress(OSError):
            with path.open("rb") as file:
                name = BytesHeaderParser().parse(file).get("Message-ID", "")
            if "".join(name.split()) in mails:
                path.unlink()


def forget(database: Database, buyer_id: int, folder: Path, now: datetime) -> Erased:
    """Erase a buyer, the files of mails to them, and what a database keeps of deleted rows.

    Raises:
        NotFoundError: if there is no such buyer.
        NotAllowedError: if an order of theirs is still open, or a mail is just being sent.
    """
    with database.writing() as session:
        done = erase(session, buyer_id, now)
    _delete_files(folder, done.mails)
    database.clear_out()
    return done


def _years_before(now: datetime, years: int) -> datetime:
    try:
        return now.replace(year=now.year - years)
    except ValueError:  # the 29th of February
        return now.replace(year=now.year - years, day=28)


def due(session: Session, now: datetime) -> list[int]:
    """Return the buyers that the shop's setting lets go: nothing was done with them for so long.

    None while the setting is off, which it is until the maker sets it.
    """
    years = shop_of(session)[0].forget_after
    if years is None:
        return []
    before = _years_before(now, years)
    is_open = col(Order.state).not_in(CLOSED)
    latest = (
        select(col(Order.buyer_id))
        .group_by(col(Order.buyer_id))
        .having(func.max(col(Order.changed_at)) < before)
    )
    busy = select(col(Order.buyer_id)).where(is_open)
    query = select(col(Buyer.id)).where(
        col(Buyer.erased_at).is_(None),
        col(Buyer.id).in_(latest),
        col(Buyer.id).not_in(busy),
    )
    return [key or 0 for key in session.exec(query.order_by(col(Buyer.id)).limit(MOST))]


def forget_due(database: Database, folder: Path, now: datetime) -> int:
    """Erase the buyers that the setting lets go, each by itself; return how many.

    Args:
        database: of the shop.
        folder: of the mails that were written to files.
        now: this moment.
    """
    with database.reading() as session:
        ids = due(session, now)
    mails: set[str] = set()
    count = 0
    for buyer_id in ids:
        try:
            with database.writing() as session:
                mails |= erase(session, buyer_id, now).mails
            count += 1
        except NotAllowedError as error:
            # Another row of the same e-mail has an order that is open.
            log.info("A buyer stays for now: %s", error)
    if count:
        _delete_files(folder, frozenset(mails))
        database.clear_out()
    return count
