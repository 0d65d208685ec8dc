"""What is typed of orders that are not taken yet, so that a closed tab loses nothing.

A draft holds a stranger's name and address: it goes when its order is taken, when the maker
throws it away, and by itself when nobody has gone on with it for `KEPT`.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Final

from sqlmodel import Session, col, delete, select

from service.errors import (
    KeyReusedError,
    NotAllowedError,
    NotFoundError,
    StaleError,
    UnreadableError,
    check_version,
)
from service.models import OrderDraft, RememberedKey

Typed = Mapping[str, Sequence[str]]
KEPT: Final = timedelta(days=60)
"""Long enough for an owner who has to look for a tape; no longer, for the sake of their data."""
MOST: Final = 50
LONGEST: Final = 40_000
"""More characters than this are no order that somebody types."""
ELSEWHERE: Final = "This order was typed on elsewhere meanwhile."
TAKEN: Final = "An order was made of this already. Change the order instead."
TOO_LONG: Final = "That is too much to keep for later. Shorten the notes."


def drafts(session: Session, most: int = MOST) -> list[OrderDraft]:
    """Return the drafts, those typed on last first."""
    query = select(OrderDraft).order_by(col(OrderDraft.at).desc(), col(OrderDraft.id).desc())
    return list(session.exec(query.limit(most)))


def draft(session: Session, draft_id: int) -> OrderDraft:
    """Return a draft.

    Raises:
        NotFoundError: if it was taken as an order, or thrown away.
    """
    row = session.get(OrderDraft, draft_id)
    if row is None:
        raise NotFoundError("Nothing is kept there: it was taken as an order, or thrown away.")
    return row


def _texts(typed: Typed) -> dict[str, list[str]]:
    """Return what a draft holds of a form: the fields with something in them."""
    return {name: list(found) for name, found in typed.items() if any(found)}


def keep_draft(
    session: Session, key: str, typed: Typed, version: int, now: datetime
) -> OrderDraft | None:
    """Keep what is typed by now; None where an order was made of it already.

    Args:
        session: of the request.
        key: of the form.
        typed: the texts by field.
        version: of the draft that the form has seen; 0 before any.
        now: this moment.

    Raises:
        StaleError: if it was typed on elsewhere meanwhile.
        UnreadableError: if it is longer than an order can be.
    """
    texts = _texts(typed)
    if sum(len(text) for found in texts.values() for text in found) > LONGEST:
        raise UnreadableError(TOO_LONG)
    if session.get(RememberedKey, key):
        return None
    query = select(OrderDraft).where(col(OrderDraft.key) == key).with_for_update()
    row = session.exec(query).first()
    if row and row.version != version:
        raise StaleError(ELSEWHERE)
    row = row or OrderDraft(key=key, typed={}, version=0, at=now)
    row.typed, row.version, row.at = texts, row.version + 1, now
    session.add(row)
    session.exec(delete(OrderDraft).where(col(OrderDraft.at) < now - KEPT))
    session.flush()
    return row


def begin_draft(session: Session, key: str, typed: Typed, now: datetime) -> OrderDraft:
    """Keep a new draft; the same key and fields twice are one draft.

    Raises:
        KeyReusedError: if the key is another draft's.
        NotAllowedError: if an order was made of it already.
        UnreadableError: if it is longer than an order can be.
    """
    known = session.exec(select(OrderDraft).where(col(OrderDraft.key) == key)).first()
    if known and known.typed != _texts(typed):
        raise KeyReusedError("That key was sent with other fields. Send a key of its own.")
    row = known or keep_draft(session, key, typed, 0, now)
    if row is None:
        raise NotAllowedError(TAKEN)
    return row


def _at_version(session: Session, draft_id: int, version: int | None) -> OrderDraft:
    row = draft(session, draft_id)
    check_version(version, row.version, ELSEWHERE)
    return row


def change_draft(
    session: Session, draft_id: int, typed: Typed, version: int | None, now: datetime
) -> OrderDraft:
    """Keep what is typed by now in the place of what was.

    Raises:
        NotFoundError, MissingVersionError, StaleError: as their names say.
        NotAllowedError: if an order was made of it already.
        UnreadableError: if it is longer than an order can be.
    """
    row = _at_version(session, draft_id, version)
    kept = keep_draft(session, row.key, typed, row.version, now)
    if kept is None:
        raise NotAllowedError(TAKEN)
    return kept


def throw_away(session: Session, draft_id: int, version: int | None) -> None:
    """Throw a draft away at the version that was seen.

    Raises:
        NotFoundError, MissingVersionError, StaleError: as their names say.
    """
    drop_draft(session, _at_version(session, draft_id, version).key)


def drop_draft(session: Session, key: str) -> None:
    """Throw a draft away; one that is gone already is no matter."""
    session.exec(delete(OrderDraft).where(col(OrderDraft.key) == key))


def named(row: OrderDraft) -> str:
    """Return whom a draft is for: the dog, or else the buyer, or nothing."""
    texts = [(row.typed.get(name) or [""])[-1].strip() for name in ("dog.name", "buyer.name")]
    return next(filter(None, texts), "")[:200]
