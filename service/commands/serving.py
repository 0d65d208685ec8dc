"""What `serve` is made of: the way in, what is said of it, and the server."""

import sys
from threading import Timer
from typing import Final

from sqlalchemy.exc import SQLAlchemyError

from documents.fonts import has_glyph
from service.commands.doors import sign_in_link
from service.db import Database
from service.doors.codes import way_in
from service.doors.entrance import Entrance
from service.orders import utc_now
from service.settings import MailSettings, Settings
from service.troubles import TroubleError
from service.web.application import create_app
from service.web.serving import DrainingServer
from sizing.units import LengthUnit, read_length

AFTER_START: Final = 3.0
"""Seconds until a server loads what its first answer does without."""
WAY_IN: Final = "way in: "
"""What begins the line by which a quiet server tells how to come in."""


def embedded(database: Database) -> bool:
    """Return whether a database is the embedded one, which no other program works on."""
    return database.engine.dialect.name == "sqlite"


def come_in(database: Database, at: str) -> str:
    """Return a link by which somebody comes into a shop without a password, or nothing."""
    try:
        with database.writing() as session:
            code = way_in(session, utc_now())
    except (
        SQLAlchemyError,
        TroubleError,
    ):  # no tables yet, and others bring them: /readyz says so
        return ""
    return sign_in_link(at, code) if code else ""


def tell(address: str, link: str, *, quiet: bool) -> None:
    """Say where it is, and how to come in where nobody can yet.

    Quietly it says no more than the way in, for the program that started it to pass on.
    """
    if quiet:
        print(f"{WAY_IN}{link or address}")
    else:
        print(f"Hoodwright is at {address} (Ctrl-C stops it).")
        if link:
            print(f"Come in by this link; it works once, within an hour: {link}")
    sys.stdout.flush()


def _load_the_rest() -> None:
    read_length("1 cm", LengthUnit.CM)
    has_glyph("a")


def soon_complete() -> None:
    """Load what the first answer does without, beside it: units and typefaces.

    Whoever asks for them sooner has them then, and waits for them.
    """
    timer = Timer(AFTER_START, _load_the_rest)
    timer.daemon = True
    timer.start()


def server_of(
    database: Database, settings: Settings, mail: MailSettings, place: tuple[str, int]
) -> DrainingServer:
    """Return the server for a host and a port, ready to run."""
    serving = settings.serving()
    app = create_app(
        database,
        mail=mail,
        sends=embedded(database),
        copies=settings.backups() if embedded(database) else None,
        forgets=True,
        serving=serving,
        entrance=Entrance(secure=settings.secure()),
    )
    return DrainingServer(app, *place, serving.drain, proxy=settings.tls_proxy)
