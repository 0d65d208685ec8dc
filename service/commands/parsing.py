"""The arguments of the commands, and the way from a name to what it does."""

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Final

from service.commands import copies, doors, shops
from service.commands.opening import SettingsError
from service.keeping.faults import KeepingError

Command = Callable[[argparse.Namespace], int]
Commands = argparse._SubParsersAction  # noqa: SLF001 - argparse gives its class no other name

RUN: Final[dict[str, Command]] = {
    "backup": copies.backup,
    "restore": copies.restore_copy,
    "check": copies.check,
    "sign-in": doors.sign_in,
    "first-account": doors.first_account,
    "migrate": shops.migrate,
    "new-shop": shops.new_shop,
}


def _of_shop(
    commands: "Commands[argparse.ArgumentParser]", name: str, what: str
) -> argparse.ArgumentParser:
    one = commands.add_parser(name, help=what, description=f"{what[0].upper()}{what[1:]}.")
    one.add_argument("--data", type=Path, help="folder of the embedded database")
    return one


def add_commands(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the commands to those of the console."""
    backup = _of_shop(commands, "backup", "copy the database, which may be in use, to one file")
    backup.add_argument("--to", type=Path, help="the file (default: in the data folder's backups)")
    restore = _of_shop(commands, "restore", "put a copy back")
    restore.add_argument("file", type=Path, help="the copy")
    restore.add_argument("--over", action="store_true", help="also where something is; it is kept")
    _of_shop(commands, "check", "look whether the database is sound")
    way_in = _of_shop(commands, "sign-in", "print a link by which a password is chosen anew")
    way_in.add_argument("--name", default="", help="whose (default: the maker's)")
    way_in.add_argument("--port", type=int, default=8000, help="the port that is served on")
    first = _of_shop(commands, "first-account", "make the first account, with a password")
    first.add_argument("name", help="whose")
    first.add_argument("--password-file", type=Path, required=True, help="its first line counts")
    _of_shop(commands, "migrate", "bring the database to this version's tables")
    shop = commands.add_parser("new-shop", help="make room for another shop on a database server")
    shop.add_argument("name", help="small letters, digits and _, beginning with a letter")


def run(arguments: argparse.Namespace) -> int | None:
    """Run a command of these; return its exit code, or None if it is none of them."""
    command = RUN.get(arguments.command)
    if command is None:
        return None
    try:
        return command(arguments)
    except SettingsError as error:
        print(error, file=sys.stderr)
        return 1
    except KeepingError as error:
        print(error, file=sys.stderr)
        return error.code
