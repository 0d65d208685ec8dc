"""Sign-ins: a secret in the browser, its digest here, and an end in any case."""

from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import bindparam
from sqlmodel import Session, col, delete, select

from service.links import digest, long_secret
from service.models import Account, SignIn

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


# Built once: every page asks it.
_GOOD: Final = (
    select(SignIn, Account)
    .where(col(SignIn.token_hash) == bindparam("digest"), col(SignIn.account_id) == Account.id)
    .where(col(Account.shut_at).is_(None), col(SignIn.ends_at) > bindparam("now"))
    .where(col(SignIn.seen_at) > bindparam("since"))
)


def signed_in(session: Session, secret: str, now: datetime) -> tuple[SignIn, Account] | None:
    """Return the sign-in that a secret stands for, with its account, or None."""
    given = {"digest": digest(secret), "now": now, "since": now - IDLE}
    found = session.execute(_GOOD, given).first()
    return (found[0], found[1]) if found else None


def is_stale(row: SignIn, now: datetime) -> bool:
    """Return whether the last use is long enough ago to be written down again."""
    return now - row.seen_at >= SEEN


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
    """End all sign-ins of an account."""
    session.exec(delete(SignIn).where(col(SignIn.account_id) == account_id))


def count(session: Session, account_id: int, now: datetime) -> int:
    """Return in how many browsers an account is signed in."""
    query = select(SignIn.id).where(
        col(SignIn.account_id) == account_id,
        col(SignIn.ends_at) > now,
        col(SignIn.seen_at) > now - IDLE,
    )
    return len(session.exec(query).all())
