"""Keys for programs: shown once, kept as a digest, each good for what it was made for."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import Connection, bindparam, select
from sqlmodel import Session, col

from service.doors.roles import Scope
from service.errors import NotFoundError, UnreadableError
from service.links import digest, long_secret
from service.models import AccessKey, Account, columns_of

LONGEST_NAME: Final = 60
USED: Final = timedelta(minutes=10)
"""How exactly the last use is known: not every request writes."""


def make_key(
    session: Session, account: Account, name: str, scopes: list[Scope], now: datetime
) -> tuple[AccessKey, str]:
    """Make a key; return it with its secret, which is shown this once.

    Raises:
        UnreadableError: naming the field.
    """
    text = " ".join(name.split())
    wrong = {}
    if not text or len(text) > LONGEST_NAME:
        wrong["key_name"] = f"Write what the key is for, in at most {LONGEST_NAME} characters."
    if not scopes:
        wrong["scopes"] = "Choose what the key is good for."
    if wrong:
        raise UnreadableError(" ".join(wrong.values()), wrong)
    secret = long_secret()
    row = AccessKey(
        account_id=account.id or 0,
        name=text,
        scopes=[scope.value for scope in Scope if scope in scopes],
        token_hash=digest(secret),
        made_at=now,
    )
    session.add(row)
    session.flush()
    return row, secret


_KEY, _ACCOUNT = columns_of(AccessKey), columns_of(Account)
# Built once, and without the ORM: every request of a program asks it.
_GOOD: Final = (
    select(_KEY.id, _KEY.used_at, _KEY.scopes, _ACCOUNT.id, _ACCOUNT.name, _ACCOUNT.role)
    .where(_KEY.token_hash == bindparam("digest"), _KEY.account_id == _ACCOUNT.id)
    .where(_KEY.shut_at.is_(None), _ACCOUNT.shut_at.is_(None))
)


@dataclass(frozen=True, slots=True)
class GoodKey:
    """A key that opens, and whose it is."""

    id: int
    used_at: datetime | None
    scopes: list[str]
    account_id: int
    name: str
    role: str

    def is_stale(self, now: datetime) -> bool:
        """Return whether the last use is long enough ago to be written down again."""
        return self.used_at is None or now - self.used_at >= USED


def key_of(connection: Connection, secret: str) -> GoodKey | None:
    """Return the key that a secret stands for, or None."""
    found = connection.execute(_GOOD, {"digest": digest(secret)}).first()
    return GoodKey(*found) if found else None


def used(session: Session, row_id: int, now: datetime) -> None:
    """Write down that a key was used."""
    row = session.get(AccessKey, row_id)
    if row:
        row.used_at = now
        session.add(row)


def keys(session: Session, account_id: int) -> list[AccessKey]:
    """Return the keys of an account that are still good, the oldest first."""
    query = select(AccessKey).where(
        col(AccessKey.account_id) == account_id, col(AccessKey.shut_at).is_(None)
    )
    return list(session.scalars(query.order_by(col(AccessKey.id))))


def shut_key(session: Session, account_id: int, key_id: int, now: datetime) -> str:
    """Let a key open nothing any more; return its name, or nothing if that was done before.

    Raises:
        NotFoundError: if the account has none of that id.
    """
    row = session.get(AccessKey, key_id)
    if row is None or row.account_id != account_id:
        raise NotFoundError("There is no such key.")
    if row.shut_at is not None:
        return ""
    row.shut_at = now
    session.add(row)
    return row.name
