"""Copies of a database on a PostgreSQL server, by the server's own programs."""

import os
import shutil
import subprocess
from collections.abc import Collection, Generator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final
from uuid import uuid4

import psycopg
from psycopg import Connection, sql
from sqlalchemy import URL, make_url

from service.keeping.counting import Counts, server_counts, server_tables
from service.keeping.faults import KeepingError, UntriedError

ASIDE: Final = "before_restore_"
"""How the schema begins that a restore has put aside; no copy holds it."""


def _run(program: str, url: URL, *arguments: str) -> None:
    """Run one of the server's programs.

    Raises:
        KeepingError: if it is missing, or says no.
    """
    found = shutil.which(program)
    if found is None:
        message = (
            f"{program} is missing: it makes and reads the copies of a database server. Install"
            " the client programs of PostgreSQL (on Debian and Ubuntu: postgresql-client)."
        )
        raise KeepingError(message)
    # The password goes by the environment: the command line is there for all to read.
    password = {"PGPASSWORD": str(url.password)} if url.password else {}
    done = subprocess.run(  # noqa: S603 - a program of the server's, with our own arguments
        [found, "--no-password", "--dbname", _address(url), *arguments],
        env={**os.environ, **password},
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        lines = done.stderr.strip().splitlines() or ["it gave no reason"]
        raise KeepingError(f"{program} could not do it: {lines[0]}")


def _address(url: URL, *, password: bool = False) -> str:
    plain = url.set(drivername="postgresql")
    plain = plain if password else plain._replace(password=None)
    return plain.render_as_string(hide_password=False)


@contextmanager
def connected(url: str) -> Generator[Connection[Any]]:
    """Yield a connection to a database server, outside a transaction.

    Raises:
        KeepingError: if the server cannot be reached or refuses.
    """
    address = _address(make_url(url), password=True)
    try:
        with psycopg.connect(address, autocommit=True, connect_timeout=10) as connection:
            yield connection
    except psycopg.Error as error:
        reason = str(error).partition("\n")[0]
        message = (
            f"The database that HOODWRIGHT_DATABASE_URL names cannot be used; its server says:"
            f" {reason}"
        )
        raise KeepingError(message) from error


def refuse_letters(url: str) -> None:
    """Refuse a database that cannot keep every letter.

    Raises:
        KeepingError: saying which one to make.
    """
    with connected(url) as connection:
        kept_as = connection.info.parameter_status("server_encoding")
    if kept_as != "UTF8":
        message = (
            f"The database that HOODWRIGHT_DATABASE_URL names keeps letters as {kept_as}, and not"
            " every name can be written so. Make another: CREATE DATABASE name ENCODING 'UTF8'"
            " TEMPLATE template0. What is in this one comes over by hoodwright backup and restore."
        )
        raise KeepingError(message)


def counts_at(url: str) -> Counts:
    """Return the counts of a database, all of one moment."""
    with connected(url) as connection, _one_moment(connection):
        return server_counts(connection)


@contextmanager
def _one_moment(connection: Connection[Any]) -> Generator[None]:
    connection.isolation_level = psycopg.IsolationLevel.REPEATABLE_READ
    connection.read_only = True
    with connection.transaction():
        yield


def dump(url: str, to: Path) -> Counts:
    """Write a database that may be in use to a file; return the counts of that same moment.

    Raises:
        KeepingError: if that cannot be.
    """
    with connected(url) as connection, _one_moment(connection):
        row = connection.execute("SELECT pg_export_snapshot()").fetchone()
        moment = row[0] if row else ""
        _run(
            *("pg_dump", make_url(url), "--format=custom", "--no-owner", "--no-privileges"),
            *(f"--snapshot={moment}", f"--exclude-schema={ASIDE}*", f"--file={to}"),
        )
        return server_counts(connection)


@contextmanager
def scratch(url: str) -> Generator[str]:
    """Yield the address of an empty database on the same server; it is dropped at the end.

    Raises:
        UntriedError: if this account may not make one.
    """
    name = f"hoodwright_trial_{uuid4().hex[:12]}"
    made = sql.SQL("CREATE DATABASE {} TEMPLATE template0").format(sql.Identifier(name))
    dropped = sql.SQL("DROP DATABASE IF EXISTS {} WITH (FORCE)").format(sql.Identifier(name))
    with connected(url) as connection:
        try:
            connection.execute(made)
        except psycopg.errors.InsufficientPrivilege as error:
            message = (
                "The copy was made and kept, but not tried: this account may not make a database"
                " to try it in. Let it (ALTER ROLE ... CREATEDB), then copy again."
            )
            raise UntriedError(message) from error
        try:
            yield _address(make_url(url).set(database=name), password=True)
        finally:
            connection.execute(dropped)


def load(url: str, dumped: Path) -> None:
    """Fill an empty database from a file: all of it or nothing.

    Raises:
        KeepingError: if that cannot be.
    """
    _run(
        *("pg_restore", make_url(url), "--single-transaction", "--exit-on-error"),
        *("--no-owner", "--no-privileges", str(dumped)),
    )


def others_connected(url: str) -> int:
    """Return how many programs else have a database open."""
    query = (
        "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database()"
        " AND pid <> pg_backend_pid() AND backend_type = 'client backend'"
    )
    with connected(url) as connection:
        row = connection.execute(query).fetchone()
    return int(row[0]) if row else 0


def put_aside(url: str, name: str) -> str:
    """Rename the schema that is in use, and make an empty one in its place; return its name."""
    with connected(url) as connection, connection.transaction():
        row = connection.execute("SELECT current_schema()").fetchone()
        schema = str(row[0]) if row and row[0] else "public"
        here, there = sql.Identifier(schema), sql.Identifier(name)
        connection.execute(sql.SQL("ALTER SCHEMA {} RENAME TO {}").format(here, there))
        connection.execute(sql.SQL("CREATE SCHEMA {}").format(here))
    return schema


def take_back(url: str, name: str, schema: str) -> None:
    """Undo `put_aside`."""
    drop(url, schema)
    with connected(url) as connection:
        here, there = sql.Identifier(schema), sql.Identifier(name)
        connection.execute(sql.SQL("ALTER SCHEMA {} RENAME TO {}").format(there, here))


def clear(url: str, tables: Collection[str]) -> None:
    """Delete all rows of those tables that a database has."""
    with connected(url) as connection:
        ours = server_tables(connection)
        for schema, name in (one for one in ours if one[1] in tables):
            connection.execute(sql.SQL("DELETE FROM {}").format(sql.Identifier(schema, name)))


def drop(url: str, schema: str) -> None:
    """Drop a schema with all that is in it."""
    with connected(url) as connection:
        connection.execute(sql.SQL("DROP SCHEMA {} CASCADE").format(sql.Identifier(schema)))
