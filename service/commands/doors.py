"""`sign-in` and `first-account`: for whoever has lost the password, and for the first start.

A one-time link needs a server on this machine that opens it. Where there is none, as in a
container, the first account is made with a password from a file.
"""

import argparse
import sys
from typing import Final

from service.commands.opening import opened, settings_of
from service.doors.accounts import (
    account_named,
    first_maker,
    has_password,
    make_account,
    set_password,
)
from service.doors.changes import note
from service.doors.codes import new_code
from service.doors.passwords import Hasher
from service.doors.roles import Purpose, Role
from service.doorwords import MACHINE, Change
from service.errors import UnreadableError
from service.orders import utc_now
from service.settings import first_line

NOBODY: Final = "There is no open account of that name."
SOMEBODY: Final = "The shop is somebody's already. Sign in, or take hoodwright sign-in."


def sign_in_link(base: str, code: str) -> str:
    """Return the address that a one-time code opens."""
    return f"{base.rstrip('/')}/sign-in?code={code}"


def sign_in(arguments: argparse.Namespace) -> int:
    """Print a link by which an account's password is chosen anew, or the first account is made."""
    settings, _ = settings_of(arguments.data)
    base = settings.address or f"http://127.0.0.1:{arguments.port}"
    with opened(arguments.data) as database, database.writing() as session:
        if arguments.name:
            account = account_named(session, arguments.name)
            if account is None or account.shut_at is not None:
                print(NOBODY, file=sys.stderr)
                return 1
        else:
            account = first_maker(session)
        purpose = Purpose.PASSWORD if account else Purpose.FIRST
        now = utc_now()
        code = new_code(session, purpose, now, account)
        if account:
            first = not account.password
            note(session, account.id, Change.LINK, now, about=MACHINE, known=first)
    whose = f"For {account.name}. " if account else ""
    print(f"{whose}Open this link within an hour; it works once:")
    print(sign_in_link(base, code))
    return 0


def first_account(arguments: argparse.Namespace) -> int:
    """Make the first maker's account, with the password that a file holds."""
    try:
        password = first_line(arguments.password_file)
    except (OSError, UnicodeDecodeError) as error:
        print(f"The file of the password cannot be read: {error}.", file=sys.stderr)
        return 1
    try:
        with opened(arguments.data) as database, database.writing() as session:
            if has_password(session):
                print(SOMEBODY, file=sys.stderr)
                return 4
            account = first_maker(session)
            now = utc_now()
            account = account or make_account(session, arguments.name, Role.MAKER, now)
            set_password(session, account, password, Hasher())
            note(session, account.id, Change.PASSWORD, now, about=MACHINE, known=True)
            name = account.name
    except UnreadableError as error:
        print(error, file=sys.stderr)
        return 1
    print(f"{name} can sign in with that password.")
    return 0
