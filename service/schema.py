"""Bringing a database to the newest schema."""

from collections.abc import Generator
from contextlib import contextmanager
from typing import Any, Final

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from sqlalchemy import Connection, Engine
from sqlalchemy.exc import IntegrityError

_LOCK: Final = 0x7461626C  # any number that no other lock of the database has
PATIENCE: Final = "15s"
"""How long a migration waits for a table: all who come later for that table wait behind it."""


def config() -> Config:
    """Return Alembic's settings; there is no ini file."""
    settings = Config()
    settings.set_main_option("script_location", "service:migrations")
    settings.set_main_option("path_separator", "os")
    return settings


def upgrade(engine: Engine, revision: str = "head") -> None:
    """Create or migrate all tables.

    Raises:
        IntegrityError: if rows would lead nowhere after it; nothing was changed then.
    """
    settings = config()
    with engine.connect() as connection, _rebuilding(connection):
        _one_at_a_time(connection)
        settings.attributes["connection"] = connection
        before = _revision(connection)
        command.upgrade(settings, revision)
        if _revision(connection) != before:  # it reads every row: a minute, for a million orders
            _refuse_dangling(connection)
        connection.commit()


@contextmanager
def _rebuilding(connection: Connection) -> Generator[None]:
    """Let SQLite make a table anew that others lead to: https://sqlite.org/lang_altertable.html.

    It is no use inside a transaction, so the driver is told before one is begun.
    """
    if connection.dialect.name != "sqlite":
        yield
        return
    driver: Any = connection.connection.driver_connection
    driver.execute("PRAGMA foreign_keys = OFF")
    try:
        yield
    finally:
        connection.rollback()
        driver.execute("PRAGMA foreign_keys = ON")


def _revision(connection: Connection) -> tuple[str, ...]:
    return tuple(MigrationContext.configure(connection).get_current_heads())


def _refuse_dangling(connection: Connection) -> None:
    if connection.dialect.name != "sqlite":
        return
    lost = connection.exec_driver_sql("PRAGMA foreign_key_check").first()
    if lost is not None:
        reason = ValueError(f"row {lost[1]} of {lost[0]} leads to no {lost[2]}")
        raise IntegrityError("PRAGMA foreign_key_check", None, reason)


def _one_at_a_time(connection: Connection) -> None:
    """Let one of several servers that start at once migrate a shop, and the others wait for it."""
    if connection.dialect.name != "postgresql":
        return
    lock = f"pg_advisory_xact_lock({_LOCK}, hashtext(coalesce(current_schema(), '')))"
    connection.exec_driver_sql(f"SELECT {lock}")
    connection.exec_driver_sql(f"SET LOCAL lock_timeout = '{PATIENCE}'")
