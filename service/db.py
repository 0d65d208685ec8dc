"""The database: an engine, and one transaction for one request.

A use case runs inside `with database.writing() as session:` in the body of its endpoint, so
the commit is over before a response exists. (A dependency that holds the write lock would
block a worker thread before its endpoint has one, and enough of them block for ever.)
"""

from collections.abc import Callable, Generator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from threading import Lock
from typing import Any, Final, TypeVar

from sqlalchemy import Engine, create_engine, event
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session

Result = TypeVar("Result")

BUSY_MS: Final = 5_000
"""How long SQLite waits for another process that writes."""


def _open_sqlite(connection: Any, _record: object) -> None:  # noqa: ANN401 - a DBAPI connection
    connection.isolation_level = None  # transactions are begun by `_begin_sqlite`
    cursor = connection.cursor()
    cursor.execute("PRAGMA journal_mode = WAL")
    cursor.execute("PRAGMA synchronous = FULL")
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
    cursor.close()


def _begin_sqlite(connection: Any) -> None:  # noqa: ANN401 - a SQLAlchemy connection
    # A transaction that will write says so at once: upgraded later it could fail as busy.
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _leave_no_transaction(connection: Any, _record: object) -> None:  # noqa: ANN401 - as above
    # After a COMMIT that failed SQLite is still in the transaction, and holds its lock; a
    # connection that came back to the pool like that would fail every request after it.
    if connection is not None and connection.in_transaction:
        connection.rollback()


class Database:
    """An engine and, for SQLite, the one write lock of the process."""

    def __init__(self, engine: Engine) -> None:
        """Keep the engine."""
        self.engine = engine
        self._writing = engine.execution_options(writes=True)
        self._lock: AbstractContextManager[object] = (
            Lock() if engine.dialect.name == "sqlite" else nullcontext()
        )

    @contextmanager
    def writing(self) -> Generator[Session]:
        """Yield a session whose work is committed at the end, or rolled back on an error."""
        # Without the lock, threads sleep in SQLite's busy handler and some wait very long.
        with self._lock, Session(self._writing, expire_on_commit=False) as session:
            yield session
            session.commit()

    def write(self, work: Callable[[Session], Result]) -> Result:
        """Do a piece of work in a transaction, once more if another one was first.

        The work must be one that finds what the other transaction has kept.
        """
        try:
            with self.writing() as session:
                return work(session)
        except IntegrityError:
            with self.writing() as session:
                return work(session)

    @contextmanager
    def reading(self) -> Generator[Session]:
        """Yield a session for reading; nothing it does is kept."""
        with Session(self.engine, expire_on_commit=False) as session:
            yield session

    def close(self) -> None:
        """Close all connections."""
        self.engine.dispose()


def open_database(url: str) -> Database:
    """Return the database at a SQLAlchemy URL (SQLite or PostgreSQL)."""
    if url.startswith("postgresql://"):
        url = url.replace("postgresql://", "postgresql+psycopg://", 1)
    # What stands in a row is somebody's: an error tells the statement, not what was in it.
    fresh = not url.startswith("sqlite")
    engine = create_engine(url, pool_pre_ping=fresh, hide_parameters=True)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _open_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
        event.listen(engine, "checkin", _leave_no_transaction)
    return Database(engine)
