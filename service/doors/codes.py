"""One-time codes: the way in for whoever has no password yet, or none any more."""

from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import ColumnElement
from sqlmodel import Session, col, delete, select

from service.doors.accounts import first_maker, has_password
from service.doors.roles import Purpose
from service.links import digest as digested
from service.links import digest_of, new_secret
from service.models import Account, SignInCode

LASTS: Final = timedelta(hours=1)
"""How long a code printed on the machine is good for."""
INVITES: Final = timedelta(days=3)
"""How long a code for a new account is good for: it is handed over first."""
WAITS: Final = timedelta(minutes=10)
"""How long a right password waits for the second step."""


def new_code(
    session: Session,
    purpose: Purpose,
    now: datetime,
    account: Account | None = None,
    lasts: timedelta = LASTS,
) -> str:
    """Make a code; earlier ones for the same account open nothing any more."""
    whose = account.id if account else None
    session.exec(delete(SignInCode).where(col(SignInCode.account_id) == whose))
    return _made(session, purpose, whose, now, lasts)


def _made(
    session: Session, purpose: Purpose, whose: int | None, now: datetime, lasts: timedelta
) -> str:
    code = new_secret()
    session.add(
        SignInCode(
            purpose=purpose.value,
            account_id=whose,
            token_hash=digested(code),
            made_at=now,
            ends_at=now + lasts,
        )
    )
    session.flush()
    return code


def code_of(
    session: Session, code: str, now: datetime, *, lock: bool = False
) -> SignInCode | None:
    """Return the code that a text is, if it still opens something; locked, to be used up."""
    return _found(session, code, now, col(SignInCode.purpose) != Purpose.STEP.value, lock=lock)


def _found(
    session: Session, code: str, now: datetime, purpose: ColumnElement[bool], *, lock: bool
) -> SignInCode | None:
    digest = digest_of(code)
    if digest is None:
        return None
    query = select(SignInCode).where(
        col(SignInCode.token_hash) == digest, col(SignInCode.ends_at) > now, purpose
    )
    if lock:
        query = query.with_for_update()
    return session.exec(query).first()


def wait_for_step(session: Session, account_id: int, now: datetime) -> str:
    """Return the code of a sign-in whose password was right, and which waits for its second step.

    It opens nothing by itself, and whoever has lost it gives the password again.
    """
    waiting = col(SignInCode.purpose) == Purpose.STEP.value
    session.exec(delete(SignInCode).where(waiting, col(SignInCode.ends_at) <= now))
    return _made(session, Purpose.STEP, account_id, now, WAITS)


def waiting_of(
    session: Session, code: str, now: datetime, *, lock: bool = False
) -> SignInCode | None:
    """Return the sign-in that waits for its second step, or None if none does any longer."""
    return _found(session, code, now, col(SignInCode.purpose) == Purpose.STEP.value, lock=lock)


def use_up(session: Session, code: SignInCode) -> None:
    """Let a code open nothing any more."""
    session.delete(code)


def way_in(session: Session, now: datetime) -> str:
    """Return a code for a shop that nobody has a password of, or nothing.

    An empty shop's code lets choose a name and a password; the demo shop's account has neither
    and is led straight in.
    """
    if has_password(session):
        return ""
    maker = first_maker(session)
    if maker is None:
        return new_code(session, Purpose.FIRST, now)
    return new_code(session, Purpose.STRAIGHT, now, maker)
