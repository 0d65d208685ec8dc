"""The arguments of the commands, and the way from a name to what it does."""

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Final

from service.commands import carrying, copies, doors, persons, shops, single
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
    "import": carrying.bring_in,
    "export": carrying.take_out,
    "forget": persons.forget_some,
    "plan": single.plan,
    "ticket": single.ticket,
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
    way_in = _of_shop(
        commands, "sign-in", "print a link to choose a password anew; it ends a second step"
    )
    way_in.add_argument("--name", default="", help="whose (default: the maker's)")
    way_in.add_argument("--port", type=int, default=8000, help="the port that is served on")
    first = _of_shop(commands, "first-account", "make the first account, with a password")
    first.add_argument("name", help="whose")
    first.add_argument("--password-file", type=Path, required=True, help="its first line counts")
    _of_shop(commands, "migrate", "bring the database to this version's tables")
    _add_carrying(commands)
    forget = _of_shop(
        commands, "forget", "erase a buyer, or those whom the shop's setting lets go"
    )
    forget.add_argument("--buyer", type=int, help="number of the buyer, as in the page's address")
    _add_single(commands)
    shop = commands.add_parser("new-shop", help="make room for another shop on a database server")
    shop.add_argument("name", help="small letters, digits and _, beginning with a letter")


def _add_carrying(commands: "Commands[argparse.ArgumentParser]") -> None:
    bring = _of_shop(
        commands, "import", "bring in a table (CSV), or a whole shop into an empty one"
    )
    bring.add_argument("file", type=Path, help="the table, or what export has made")
    bring.add_argument("--look", action="store_true", help="only say what each line would do")
    bring.add_argument("--yarn", help="name of the yarn, on the shelf, of orders that name none")
    take = _of_shop(commands, "export", "take everything out into one file")
    take.add_argument("--to", type=Path, help="the file (default: one named by the day, here)")
    take.add_argument("--json", action="store_true", help="as JSON; else as a zip of CSV tables")


def _add_single(commands: "Commands[argparse.ArgumentParser]") -> None:
    for name, what in (
        ("plan", "print the plan of one dog's numbers, without any database"),
        ("ticket", "draw the work ticket of one dog's numbers, without any database"),
    ):
        one = commands.add_parser(name, help=what, description=f"{what[0].upper()}{what[1:]}.")
        one.add_argument("file", type=Path, help="CSV with the columns of import, or JSON")
        one.add_argument("--line", type=int, help="which line of a CSV file with several")
        if name == "plan":
            one.add_argument("--json", action="store_true", help="the whole plan as JSON")
        else:
            one.add_argument("--to", type=Path, help="the PDF (default: beside the file)")
            one.add_argument("--paper", choices=("A4", "Letter"), default="A4", help="its paper")


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
