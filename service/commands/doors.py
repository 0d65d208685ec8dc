"""`sign-in`: a new one-time link for whoever has lost the password, and for the first start."""

import argparse
import sys
from typing import Final

from service.commands.opening import opened, settings_of
from service.doors.accounts import account_named, first_maker
from service.doors.codes import new_code
from service.doors.roles import Purpose
from service.orders import utc_now

NOBODY: Final = "There is no open account of that name."


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
        code = new_code(session, purpose, utc_now(), account)
    whose = f"For {account.name}. " if account else ""
    print(f"{whose}Open this link within an hour; it works once:")
    print(sign_in_link(base, code))
    return 0
