"""The rows of a database, counted and digested table by table, so that two can be compared."""

import sqlite3
from collections.abc import Iterable
from hashlib import sha256
from typing import Any, Final

from psycopg import Connection, sql
from pydantic import BaseModel

IDLE: Final = ("alembic_version", "sqlite_sequence")
"""Tables that hold nothing of the shop's."""


class Count(BaseModel, frozen=True):
    """The number of rows of a table, and a digest of all that stands in them."""

    rows: int
    digest: str


Counts = dict[str, Count]


def _count(rows: Iterable[tuple[Any, ...]]) -> Count:
    whole, number = sha256(), 0
    for row in rows:
        whole.update(repr(row).encode("utf-8", "surrogatepass"))
        whole.update(b"\n")
        number += 1
    return Count(rows=number, digest=whole.hexdigest())


def sqlite_tables(connection: sqlite3.Connection) -> list[str]:
    """Return the names of all tables."""
    query = "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%'"
    return [str(name) for (name,) in connection.execute(f"{query} ESCAPE '\\' ORDER BY name")]


def sqlite_counts(connection: sqlite3.Connection) -> Counts:
    """Count all tables of an embedded database, as the connection's transaction sees them."""
    return {
        name: _count(connection.execute(f'SELECT * FROM "{name}" ORDER BY rowid'))  # noqa: S608 - its own name
        for name in sqlite_tables(connection)
    }


def _server_count(connection: Connection[Any], schema: str, name: str) -> Count:
    # As text in the order of its bytes: a record's text holds every column, whatever its type.
    query = sql.SQL('SELECT t::text FROM {} AS t ORDER BY t::text COLLATE "C"')
    with connection.cursor(name="rows") as cursor:
        cursor.execute(query.format(sql.Identifier(schema, name)))
        return _count(cursor)


def server_tables(connection: Connection[Any]) -> list[tuple[str, str]]:
    """Return schema and name of the tables where the connection looks first."""
    query = (
        "SELECT schemaname, tablename FROM pg_catalog.pg_tables"
        " WHERE schemaname = current_schema() ORDER BY tablename"
    )
    return [(schema, name) for schema, name in connection.execute(query)]


def server_counts(connection: Connection[Any]) -> Counts:
    """Count all tables of a database server's schema, as the transaction sees them."""
    return {name: _server_count(connection, schema, name)
            for schema, name in server_tables(connection)}  # fmt: skip


def differing(one: Counts, other: Counts) -> list[str]:
    """Return the tables that are not the same in both, each with its numbers of rows."""
    names = sorted(one.keys() | other.keys())
    nothing = Count(rows=0, digest="")
    pairs = [(name, one.get(name, nothing), other.get(name, nothing)) for name in names]
    return [f"{name} ({a.rows} rows, {b.rows} rows)" for name, a, b in pairs if a != b]


def said(counts: Counts) -> str:
    """Return what a database holds, for people: the orders, the buyers, and all rows."""
    whole = sum(count.rows for name, count in counts.items() if name not in IDLE)
    parts = [
        f"{counts[name].rows} {word}"
        for name, word in (("hood_order", "orders"), ("buyer", "buyers"), ("dog", "dogs"))
        if name in counts
    ]
    return ", ".join([*parts, f"{whole} rows in all"])


def is_empty(counts: Counts) -> bool:
    """Return whether a database holds nothing of the shop's."""
    return all(
        count.rows == 0
        for name, count in counts.items()
        if name not in IDLE and not name.startswith("procrastinate_")
    )
