"""Another shop on the same database server: a schema of its own, which nothing else looks into."""

import re
from typing import Final

from psycopg import sql
from sqlalchemy import make_url

from service.keeping.faults import KeepingError, NotEmptyError
from service.keeping.server import ASIDE, connected

_NAME: Final = re.compile(r"[a-z][a-z0-9_]{0,39}")
TAKEN: Final = ("public", "information_schema")


def _refuse(name: str) -> None:
    if not _NAME.fullmatch(name) or name in TAKEN or name.startswith(("pg_", ASIDE)):
        message = (
            f"{name!r} cannot be a shop's name on the server. Take up to 40 small letters, digits"
            " and _, beginning with a letter, as in tilda_hoods."
        )
        raise KeepingError(message)


def address_of_shop(url: str, name: str) -> str:
    """Return the address of a shop on a server, from the address of the server's database.

    Raises:
        KeepingError: if the name cannot be used, or the address is that of a shop already.
    """
    _refuse(name)
    address = make_url(url)
    if "options" in address.query:
        message = "HOODWRIGHT_DATABASE_URL names a shop already. Leave its options= out."
        raise KeepingError(message)
    inside = address.update_query_dict({"options": f"-csearch_path={name}"})
    return inside.render_as_string(hide_password=False)


def make_room(url: str, name: str) -> str:
    """Make the schema of a new shop; return the shop's address.

    Raises:
        NotEmptyError: if there is one of that name.
        KeepingError: if the name cannot be used, or the server refuses.
    """
    inside = address_of_shop(url, name)
    with connected(url) as connection:
        there = connection.execute("SELECT to_regnamespace(%s)", [name]).fetchone()
        if there and there[0]:
            raise NotEmptyError(f"There is a shop {name} on the server already.")
        connection.execute(sql.SQL("CREATE SCHEMA {}").format(sql.Identifier(name)))
    return inside
