"""`migrate` and `new-shop`."""

import argparse

from sqlalchemy import make_url

from service.commands.opening import make_queue, opened, settings_of
from service.db import open_database
from service.keeping.faults import KeepingError
from service.keeping.server import refuse_letters
from service.keeping.shops import make_room
from service.schema import upgrade


def migrate(arguments: argparse.Namespace) -> int:
    """Bring the tables to this version, before its servers start."""
    with opened(arguments.data):
        print("The tables are those of this version.")
    return 0


def new_shop(arguments: argparse.Namespace) -> int:
    """Make a schema with all tables, and say how the shop's servers find it."""
    settings, _ = settings_of(None)
    if not settings.database_url.startswith("postgresql"):
        message = (
            "Several shops in one database are for a database server: set"
            " HOODWRIGHT_DATABASE_URL. Otherwise a shop is a data folder: hoodwright serve --data."
        )
        raise KeepingError(message)
    refuse_letters(settings.database_url)
    inside = make_room(settings.database_url, arguments.name)
    database = open_database(inside)
    try:
        upgrade(database.engine)
        make_queue(database)
    finally:
        database.close()
    address = make_url(inside).render_as_string(hide_password=True)
    print("The shop has its tables. Its servers and workers find it by HOODWRIGHT_DATABASE_URL,")
    print(f"with the password where *** stands: {address}")
    return 0
