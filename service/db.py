"""The database: an engine, and one transaction for one request.

A use case runs inside `with database.writing() as session:` in the body of its endpoint, so
the commit is over before a response exists. (A dependency that holds the write lock would
block a worker thread before its endpoint has one, and enough of them block for ever.)
"""

import sqlite3
from collections.abc import Callable, Generator
from contextlib import contextmanager
from pathlib import Path
from threading import Lock
from typing import Any, Final, TypeVar
from urllib.parse import quote

from pydantic_core import to_json
from sqlalchemy import Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import IntegrityError, SQLAlchemyError
from sqlmodel import Session

from service.place import Place
from service.troubles import BusyError, trouble_of

Result = TypeVar("Result")

BUSY_MS: Final = 5_000
"""How long SQLite waits for another process that writes."""
LONGEST_WAIT: Final = 15.0
"""Seconds a writer waits for those of this process that came before; then it says so."""
ANSWER_WITHIN: Final = 10
"""Seconds a database server may take to let us in."""


def _open_sqlite(connection: Any, _record: object) -> None:  # noqa: ANN401 - a DBAPI connection
    connection.isolation_level = None  # transactions are begun by `_begin_sqlite`
    cursor = connection.cursor()
    cursor.execute("PRAGMA journal_mode = WAL")
    cursor.execute("PRAGMA synchronous = FULL")
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.execute("PRAGMA secure_delete = ON")  # what is erased is written over
    cursor.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
    cursor.close()


def _begin_sqlite(connection: Any) -> None:  # noqa: ANN401 - a SQLAlchemy connection
    options = connection.get_execution_options()
    if options.get("bare", False):
        return  # one question sees one moment by itself
    # A transaction that will write says so at once: upgraded later it could fail as busy.
    connection.exec_driver_sql("BEGIN IMMEDIATE" if options.get("writes", False) else "BEGIN")


def _leave_no_transaction(connection: Any, _record: object) -> None:  # noqa: ANN401 - as above
    # After a COMMIT that failed SQLite is still in the transaction, and holds its lock; a
    # connection that came back to the pool like that would fail every request after it.
    if connection is not None and connection.in_transaction:
        connection.rollback()


class Database:
    """An engine and, for SQLite, the one write lock of the process and the file's place."""

    def __init__(self, engine: Engine, place: Place | None = None) -> None:
        """Keep the engine."""
        self.engine = engine
        self._place = place
        self._writing = engine.execution_options(writes=True)
        self.embedded = engine.dialect.name == "sqlite"
        self._lock = Lock() if self.embedded else None
        bare: dict[str, Any] = (
            {"bare": True} if self.embedded else {"isolation_level": "AUTOCOMMIT"}
        )
        self._bare = engine.execution_options(**bare)

    @contextmanager
    def _alone(self) -> Generator[None]:
        """Hold the write lock, where there is one.

        Without it, threads sleep in SQLite's busy handler and some wait very long.

        Raises:
            BusyError: if others hold it for too long.
        """
        if self._lock is None:
            yield
            return
        if not self._lock.acquire(timeout=LONGEST_WAIT):
            raise BusyError
        try:
            yield
        finally:
            self._lock.release()

    def _mend(self) -> None:
        """Look whether the database is in its place, with the write lock held."""
        if self._place is None:
            return
        if not self._place.is_there():
            self._place.mend()
            self.engine.dispose()  # what is open still writes to the file without a name
        self._place.anchor()

    @contextmanager
    def writing(self) -> Generator[Session]:
        """Yield a session whose work is committed at the end, or rolled back on an error.

        Raises:
            TroubleError: if the database cannot be worked on just now.
        """
        committing = False
        with self._alone():
            try:
                self._mend()
                with Session(self._writing, expire_on_commit=False) as session:
                    yield session
                    session.flush()
                    committing = True
                    session.commit()
            except SQLAlchemyError as error:
                trouble = trouble_of(error, committing=committing)
                if trouble is None:
                    raise
                raise trouble from error

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
        """Yield a session for reading; nothing it does is kept.

        Raises:
            TroubleError: if the database cannot be worked on just now.
        """
        with self._in_reach(), Session(self.engine, expire_on_commit=False) as session:
            yield session

    @contextmanager
    def steady(self) -> Generator[Session]:
        """Yield a session for reading to which all stands still, so that it can ask twice.

        Raises:
            TroubleError: if the database cannot be worked on just now.
        """
        with self.reading() as session:
            if self._lock is None:  # SQLite's readers see one moment as it is
                session.connection(execution_options={"isolation_level": "REPEATABLE READ"})
            yield session

    @contextmanager
    def asking(self) -> Generator[Connection]:
        """Yield a connection for one question, without a transaction: a third of a session's work.

        Raises:
            TroubleError: if the database cannot be worked on just now.
        """
        with self._in_reach(), self._bare.connect() as connection:
            yield connection

    @contextmanager
    def _in_reach(self) -> Generator[None]:
        if self._place is not None and not self._place.is_there():
            with self._alone():
                self._mend()
        try:
            yield
        except SQLAlchemyError as error:
            trouble = trouble_of(error)
            if trouble is None:
                raise
            raise trouble from error

    def clear_out(self) -> bool:
        """Write an embedded database anew, without what deleted rows have left in its file.

        Return whether that was done; not where somebody reads just now, and not on a server,
        which does it by itself in time.
        """
        if self._lock is None:
            return False
        with self._alone():
            self._mend()
            raw = self.engine.raw_connection()
            try:
                cursor = raw.cursor()
                cursor.execute("VACUUM")
                # Into the file, and the log beside it cut to nothing.
                busy = cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
            except sqlite3.OperationalError:
                return False
            finally:
                raw.close()
        return not busy

    def close(self) -> None:
        """Close all connections."""
        self.engine.dispose()
        if self._place is not None:
            self._place.close()
            self._place = None


def _open_server(connection: Any, _record: object) -> None:  # noqa: ANN401 - a DBAPI connection
    # Whoever holds a row for ever must not hold us for ever too.
    connection.execute(f"SET lock_timeout = '{LONGEST_WAIT:.0f}s'")
    connection.commit()


def _written(value: object) -> str:
    # For the columns of JSON; a plan takes a sixth of the standard library's time.
    return to_json(value).decode()


def _embedded(url: str) -> Database:
    """Return the database in a file, which is made if there is none."""
    path = Path(make_url(url).database or "")
    place = Place(path)
    engine = create_engine(url, hide_parameters=True, json_serializer=_written)

    def only_there(
        _dialect: object, _record: object, args: list[Any], named: dict[str, Any]
    ) -> None:
        # A file that is gone must not come back as an empty one.
        args[0] = f"file:{quote(path.as_posix())}?mode=rw"
        named["uri"] = True

    event.listen(engine, "do_connect", only_there)
    event.listen(engine, "connect", _open_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    event.listen(engine, "checkin", _leave_no_transaction)
    return Database(engine, place)


def open_database(url: str) -> Database:
    """Return the database at a SQLAlchemy URL (SQLite or PostgreSQL).

    Raises:
        OSError: if the file of an embedded one cannot be made or opened.
    """
    if url.startswith("sqlite"):
        return _embedded(url)
    address = make_url(url)
    if address.drivername == "postgresql":
        address = address.set(drivername="postgresql+psycopg")
    usual = {"connect_timeout": ANSWER_WITHIN, "application_name": "hoodwright"}
    named = {name: value for name, value in usual.items() if name not in address.query}
    # What stands in a row is somebody's: an error tells the statement, not what was in it.
    engine = create_engine(
        address,
        pool_pre_ping=True,
        connect_args=named,
        hide_parameters=True,
        json_serializer=_written,
    )
    event.listen(engine, "connect", _open_server)
    return Database(engine)
