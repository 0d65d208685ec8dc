"""The console command `hoodwright`: its arguments, and serving and sending."""

import argparse
import socket
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from sqlalchemy.exc import SQLAlchemyError

from service.commands import add_commands, run
from service.commands.alone import alone
from service.commands.opening import SettingsError, ready, settings_of, traced, unusable
from service.commands.serving import come_in, server_of, soon_complete, tell
from service.db import Database
from service.demo import fill_demo
from service.doors.listening import ListeningError, check_listening, is_loopback
from service.keeping.faults import KeepingError
from service.orders import utc_now
from service.schema import MigratingError
from service.settings import MailSettings, Settings
from service.troubles import TroubleError
from service.web.requestlog import write_to

HIGHEST_PORT: Final = 65_535
EXIT_CODES: Final = (
    "Exit codes: 0 done; 1 cannot be done as things are; 2 the command line cannot be read; 3 a"
    " database or copy is damaged; 4 refused, for something would be written over; 5 made by a"
    " newer version; 6 copied and not tried; 7 lines or fields of a file are wrong."
)
NO_WORKERS: Final = (
    "With the embedded database Hoodwright sends by itself while it serves. Workers are for a"
    " database server: set HOODWRIGHT_DATABASE_URL."
)


def port_number(text: str) -> int:
    """Return a port as given on the command line."""
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= HIGHEST_PORT):
        message = f"a port is a number from 1 to {HIGHEST_PORT}, not {text!r}"
        raise argparse.ArgumentTypeError(message)
    return int(text)


def parser() -> argparse.ArgumentParser:
    """Return the command's arguments."""
    top = argparse.ArgumentParser(
        prog="hoodwright", description="Made-to-measure dog hoods.", epilog=EXIT_CODES
    )
    commands = top.add_subparsers(dest="command", required=True)
    serve = commands.add_parser("serve", help="serve the pages and the API")
    serve.add_argument("--host", default="127.0.0.1", help="address to listen on")
    serve.add_argument("--port", type=port_number, default=8000, help="port to listen on")
    serve.add_argument("--data", type=Path, help="folder of the embedded database")
    serve.add_argument("--quiet", action="store_true", help="do not print the address")
    serve.add_argument("--demo", action="store_true", help="fill an empty database")
    commands.add_parser("work", help="send mails from the database that the environment names")
    add_commands(commands)
    return top


def ready_database(settings: Settings, *, demo: bool) -> Database:
    """Return the database, sound and with the newest schema, and the demo shop if asked.

    Raises:
        KeepingError: if it is damaged, newer than this version, or cannot be opened.
    """
    database = ready(settings, migrate=settings.migrate)
    try:
        if demo:
            with database.writing() as session:
                filled = fill_demo(session, utc_now())
            print(
                "The demo shop is ready." if filled else "The database is in use: no demo added."
            )
    except BaseException:
        database.close()
        raise
    return database


def port_taken(host: str, port: int) -> bool:
    """Return whether something listens on that port already."""
    try:
        socket.create_connection((host, port), timeout=1).close()
    except OSError:
        return False
    return True


def serve(arguments: argparse.Namespace) -> int:
    """Serve until stopped; return the exit code."""
    if port_taken(arguments.host, arguments.port):
        print(f"Port {arguments.port} is in use. Choose another with --port.", file=sys.stderr)
        return 1
    try:
        settings, mail = settings_of(arguments.data)
    except SettingsError as error:
        print(error, file=sys.stderr)
        return 1
    address = f"http://{arguments.host}:{arguments.port}/"
    try:
        with alone(settings, address):
            return serve_at(address, arguments, settings, mail)
    except (KeepingError, ListeningError) as error:
        print(error, file=sys.stderr)
        return error.code


def serve_at(
    address: str, arguments: argparse.Namespace, settings: Settings, mail: MailSettings
) -> int:
    """Serve at an address until stopped; return the exit code.

    Raises:
        KeepingError: if the database is damaged, newer than this version, or cannot be opened.
        ListeningError: if others could reach it there, and it has no door yet.
    """
    try:
        database = ready_database(settings, demo=arguments.demo)
        with database.reading() as session:
            check_listening(session, arguments.host, settings)
    except (OSError, SQLAlchemyError, MigratingError, TroubleError) as error:
        print(unusable(settings, error), file=sys.stderr)
        return 1
    write_to(settings.log_file())
    link = come_in(database, address) if is_loopback(arguments.host) else ""
    tell(address, link, quiet=arguments.quiet)
    server = server_of(database, settings, mail, (arguments.host, arguments.port))
    with traced(settings.serving().trace, database):
        try:
            soon_complete()
            server.run()
        except KeyboardInterrupt:
            print("Stopped.")
    return 0 if server.started else 1


def work_off() -> int:
    """Send mails until stopped; return the exit code."""
    try:
        settings, mail = settings_of(None)
    except SettingsError as error:
        print(error, file=sys.stderr)
        return 1
    if not settings.database_url.startswith("postgresql"):
        print(NO_WORKERS, file=sys.stderr)
        return 1
    try:
        database = ready_database(settings, demo=False)
    except KeepingError as error:
        print(error, file=sys.stderr)
        return error.code
    except (OSError, SQLAlchemyError, MigratingError, TroubleError) as error:
        print(unusable(settings, error), file=sys.stderr)
        return 1
    # Here: it takes a while to load, and only a worker needs it.
    from service.sending.queue import work  # noqa: PLC0415

    print("Sending what is due (Ctrl-C stops it).", flush=True)
    try:
        with traced(settings.serving().trace, database):
            work(database, mail, utc_now)
    finally:
        database.close()
    print("Stopped.")
    return 0


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command; return its exit code."""
    arguments = parser().parse_args(argv)
    code = run(arguments)
    if code is not None:
        return code
    return serve(arguments) if arguments.command == "serve" else work_off()
