"""Sign-ins: a secret in the browser, its digest here, and an end in any case."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import Connection, bindparam, exists, select
from sqlmodel import Session, col, delete

from service.links import digest, long_secret
from service.models import Account, DoorEvent, SignIn, SignInCode, columns_of

IDLE: Final = timedelta(days=7)
"""Unused so long, a sign-in ends."""
ABSOLUTE: Final = timedelta(days=30)
"""After so long it ends in any case (OWASP ASVS 4.0.3, 3.3.2)."""
SEEN: Final = timedelta(minutes=10)
"""How exactly the last use is known: not every look at a page writes."""


def sign_in(session: Session, account: Account, now: datetime) -> str:
    """Sign an account in anew; return the secret that its browser keeps."""
    secret = long_secret()
    session.exec(delete(SignIn).where(col(SignIn.ends_at) <= now))
    session.add(
        SignIn(
            account_id=account.id or 0,
            token_hash=digest(secret),
            made_at=now,
            seen_at=now,
            ends_at=now + ABSOLUTE,
        )
    )
    session.flush()
    return secret


_SIGN_IN, _ACCOUNT = columns_of(SignIn), columns_of(Account)
_CHANGE = columns_of(DoorEvent)
_UNTOLD: Final = exists().where(
    _CHANGE.account_id == _ACCOUNT.id,
    _CHANGE.known_at.is_(None),
    _CHANGE.seen_in != _SIGN_IN.token_hash,
)
# Built once, and without the ORM: every page asks it.
_GOOD: Final = (
    select(
        _SIGN_IN.id,
        _SIGN_IN.seen_at,
        _ACCOUNT.id,
        _ACCOUNT.name,
        _ACCOUNT.role,
        _ACCOUNT.password,
        _UNTOLD,
    )
    .where(_SIGN_IN.token_hash == bindparam("digest"), _SIGN_IN.account_id == _ACCOUNT.id)
    .where(_ACCOUNT.shut_at.is_(None), _SIGN_IN.ends_at > bindparam("now"))
    .where(_SIGN_IN.seen_at > bindparam("since"))
)


@dataclass(frozen=True, slots=True)
class GoodSignIn:
    """A sign-in that has not ended, whose it is, and whether there are changes to tell them of."""

    id: int
    seen_at: datetime
    account_id: int
    name: str
    role: str
    password: str
    untold: bool

    def is_stale(self, now: datetime) -> bool:
        """Return whether the last use is long enough ago to be written down again."""
        return now - self.seen_at >= SEEN


def signed_in(connection: Connection, secret: str, now: datetime) -> GoodSignIn | None:
    """Return the sign-in that a secret stands for, or None."""
    given = {"digest": digest(secret), "now": now, "since": now - IDLE}
    found = connection.execute(_GOOD, given).first()
    return GoodSignIn(*found) if found else None


def seen(session: Session, row_id: int, now: datetime) -> None:
    """Write down that a sign-in was used."""
    row = session.get(SignIn, row_id)
    if row:
        row.seen_at = now
        session.add(row)


def end(session: Session, secret: str) -> None:
    """End the sign-in of a secret, if there is one."""
    session.exec(delete(SignIn).where(col(SignIn.token_hash) == digest(secret)))


def end_all(session: Session, account_id: int) -> None:
    """End all sign-ins of an account, those that wait for their second step, and its links.

    Whoever was in by a browser left open may have made a link for later.
    """
    session.exec(delete(SignIn).where(col(SignIn.account_id) == account_id))
    session.exec(delete(SignInCode).where(col(SignInCode.account_id) == account_id))


def count(session: Session, account_id: int, now: datetime) -> int:
    """Return in how many browsers an account is signed in."""
    query = select(col(SignIn.id)).where(
        col(SignIn.account_id) == account_id,
        col(SignIn.ends_at) > now,
        col(SignIn.seen_at) > now - IDLE,
    )
    return len(session.scalars(query).all())
