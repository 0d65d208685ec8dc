"""Bringing a database to the newest schema."""

from collections.abc import Generator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

from sqlalchemy import Connection, Engine, inspect
from sqlalchemy.exc import IntegrityError

if TYPE_CHECKING:
    from alembic.config import Config

_LOCK: Final = 0x7461626C  # any number that no other lock of the database has
PATIENCE: Final = "15s"
"""How long a migration waits for a table: all who come later for that table wait behind it."""


REVISIONS: Final = (
    "0001", "0002", "0003", "0004", "0005", "0006", "0007", "0010", "0009", "0012", "0008",
    "0013", "0014", "0015",
)  # fmt: skip
"""All revisions in their order; a test holds them to what the files say, which is slow to read."""
_TABLE: Final = "alembic_version"


class MigratingError(Exception):
    """A database that cannot be brought to the newest schema; the sentence says why."""


def config() -> "Config":
    """Return Alembic's settings; there is no ini file."""
    from alembic.config import Config  # noqa: PLC0415 - as in `upgrade`

    settings = Config()
    settings.set_main_option("script_location", "service:migrations")
    settings.set_main_option("path_separator", "os")
    return settings


def upgrade(engine: Engine, revision: str = "head") -> None:
    """Create or migrate all tables.

    Raises:
        IntegrityError: if rows would lead nowhere after it; nothing was changed then.
        MigratingError: if it is at a revision that this version does not know.
    """
    with engine.connect() as connection, _rebuilding(connection):
        _one_at_a_time(connection)
        before = _revision(connection)
        if before == (REVISIONS[-1] if revision == "head" else revision):
            return
        _migrate(connection, revision)
        if _revision(connection) != before:  # it reads every row: a minute, for a million orders
            _refuse_dangling(connection)
        connection.commit()


def _migrate(connection: Connection, revision: str) -> None:
    # Here: most starts find the newest schema, and Alembic takes a while to load.
    from alembic import command  # noqa: PLC0415
    from alembic.util import CommandError  # noqa: PLC0415

    settings = config()
    settings.attributes["connection"] = connection
    try:
        command.upgrade(settings, revision)
    except CommandError as error:
        raise MigratingError(str(error)) from error


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


def _revision(connection: Connection) -> str:
    if not inspect(connection).has_table(_TABLE):
        return ""
    row = connection.exec_driver_sql(f"SELECT version_num FROM {_TABLE}").first()  # noqa: S608 - ours
    return str(row[0]) if row else ""


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
