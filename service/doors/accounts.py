"""Accounts: who there is, and the way in by name and password."""

from datetime import datetime
from typing import Final
from unicodedata import normalize

from sqlmodel import Session, col, select

from service.doors.passwords import Hasher, check_strength
from service.doors.roles import Role
from service.doors.sessions import end_all
from service.errors import NotFoundError, UnreadableError
from service.models import Account

LONGEST_NAME: Final = 60


def folded(name: str) -> str:
    """Return the form by which a name is known again: Odile, ODILE and odile are one."""
    return normalize("NFKC", " ".join(name.split())).casefold()[:LONGEST_NAME]


def checked_name(session: Session, name: str) -> str:
    """Return a name for a new account, tidied.

    Raises:
        UnreadableError: if it is empty, too long, or taken.
    """
    text = " ".join(name.split())
    said = ""
    if not text or not text.isprintable():
        said = "Write a name to sign in with."
    elif len(text) > LONGEST_NAME:
        said = f"A name has at most {LONGEST_NAME} characters."
    elif account_named(session, text):
        said = "There is an account of that name. Choose another."
    if said:
        raise UnreadableError(said, {"name": said})
    return text


def account_named(session: Session, name: str) -> Account | None:
    """Return the account of a name, or None."""
    return session.exec(select(Account).where(col(Account.key) == folded(name))).first()


def accounts(session: Session) -> list[Account]:
    """Return all accounts, the oldest first."""
    return list(session.exec(select(Account).order_by(col(Account.id))))


def account_of(session: Session, account_id: int) -> Account:
    """Return an account.

    Raises:
        NotFoundError: if there is none.
    """
    account = session.get(Account, account_id)
    if account is None:
        raise NotFoundError("There is no such account.")
    return account


def first_maker(session: Session) -> Account | None:
    """Return the oldest account of a maker that is not shut, or None."""
    found = select(Account).where(
        col(Account.role) == Role.MAKER.value, col(Account.shut_at).is_(None)
    )
    return session.exec(found.order_by(col(Account.id))).first()


def has_password(session: Session) -> bool:
    """Return whether a maker has set a password: the shop is somebody's."""
    makers = select(Account).where(
        col(Account.role) == Role.MAKER.value,
        col(Account.shut_at).is_(None),
        col(Account.password) != "",
    )
    return session.exec(makers).first() is not None


def make_account(session: Session, name: str, role: Role, now: datetime) -> Account:
    """Make an account without a password, which nobody can use yet.

    Raises:
        UnreadableError: naming the field.
    """
    text = checked_name(session, name)
    account = Account(name=text, key=folded(text), role=role.value, made_at=now)
    session.add(account)
    session.flush()
    return account


def set_password(session: Session, account: Account, password: str, hasher: Hasher) -> None:
    """Set an account's password; whoever was signed in by the old one no longer is.

    Raises:
        UnreadableError: if it is not strong enough.
    """
    check_strength(password, account.name)
    account.password = hasher.hash(password)
    session.add(account)
    end_all(session, account.id or 0)


def shut(session: Session, account: Account, now: datetime) -> None:
    """Let nobody in by an account any more; what it did keeps its name.

    Raises:
        UnreadableError: if it is the last maker's.
    """
    others = [
        one for one in accounts(session)
        if one.role == Role.MAKER.value and one.shut_at is None and one.id != account.id
    ]  # fmt: skip
    if account.role == Role.MAKER.value and not others:
        raise UnreadableError("The last maker's account stays open: the shop would be locked.")
    account.shut_at = now
    session.add(account)
    end_all(session, account.id or 0)


def knock(session: Session, name: str, password: str, hasher: Hasher) -> Account | None:
    """Return the account that a name and a password open, or None.

    A name that there is not, one that is shut and a wrong password take the same time.
    """
    account = account_named(session, name)
    is_open = account is not None and account.shut_at is None
    kept = account.password if account and is_open else ""
    return account if hasher.fits(kept, password) else None


def still_opens(session: Session, tried: Account) -> bool:
    """Return whether an account is still open by the password that was tried; locked, to sign in.

    To try one takes a while, in which the password may be changed or the account shut: whoever
    does that wants nobody in by the old one.
    """
    query = select(Account).where(col(Account.id) == tried.id).with_for_update()
    account = session.exec(query).first()
    return bool(account and account.shut_at is None and account.password == tried.password)


def refresh_hash(session: Session, account_id: int, password: str, hasher: Hasher) -> None:
    """Keep a password that was just given at today's costs, if its hash is of other costs."""
    account = session.get(Account, account_id)
    if account and hasher.is_old(account.password):
        account.password = hasher.hash(password)
        session.add(account)
