"""Which revision the tables of a database are at, and whether this version knows it."""

import sqlite3
from contextlib import closing
from pathlib import Path

import psycopg

from service import VERSION
from service.keeping.faults import NewerError
from service.keeping.server import connected
from service.schema import REVISIONS

_QUERY = "SELECT version_num FROM alembic_version"


def embedded_revision(path: Path) -> str:
    """Return the revision of a database file; nothing for one without tables of ours."""
    with closing(sqlite3.connect(path)) as connection:
        try:
            row = connection.execute(_QUERY).fetchone()
        except sqlite3.OperationalError as error:
            if "no such table" not in str(error):
                raise
            return ""
    return str(row[0]) if row else ""


def server_revision(url: str) -> str:
    """Return the revision of a database on a server; nothing for one without tables of ours."""
    with connected(url) as connection:
        try:
            row = connection.execute(_QUERY).fetchone()
        except psycopg.errors.UndefinedTable:
            return ""
    return str(row[0]) if row else ""


def known_revisions() -> list[str]:
    """Return all revisions that this version knows, the oldest first."""
    return list(REVISIONS)


def refuse_newer(what: str, revision: str) -> None:
    """Refuse what a newer version has written: this one would not keep all of it.

    Raises:
        NewerError: saying what to do.
    """
    known = known_revisions()
    if revision and revision not in known:
        message = (
            f"{what} was written by a newer Hoodwright: its tables are at {revision}, and version"
            f" {VERSION} knows them up to {known[-1]}. Nothing was changed. Start the newer"
            " Hoodwright, or restore a copy that this version has made."
        )
        raise NewerError(message)
