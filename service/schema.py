"""Bringing a database to the newest schema."""

from typing import Final

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection, Engine

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
    """Create or migrate all tables."""
    settings = config()
    with engine.connect() as connection:
        _one_at_a_time(connection)
        settings.attributes["connection"] = connection
        command.upgrade(settings, revision)
        connection.commit()


def _one_at_a_time(connection: Connection) -> None:
    """Let one of several servers that start at once migrate a shop, and the others wait for it."""
    if connection.dialect.name != "postgresql":
        return
    lock = f"pg_advisory_xact_lock({_LOCK}, hashtext(coalesce(current_schema(), '')))"
    connection.exec_driver_sql(f"SELECT {lock}")
    connection.exec_driver_sql(f"SET LOCAL lock_timeout = '{PATIENCE}'")
