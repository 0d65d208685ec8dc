"""Copies of the embedded database, made while it is in use, and put back."""

import os
import shutil
import sqlite3
from collections.abc import Iterable
from contextlib import closing, suppress
from pathlib import Path
from typing import Final

from service.keeping.archive import flush_to_disk
from service.keeping.counting import Counts, differing, sqlite_counts, sqlite_tables
from service.keeping.faults import DamagedError, KeepingError

LOGS: Final = ("-wal", "-shm", "-journal")
"""What SQLite keeps beside a file that is in use."""
MOST_FAULTS: Final = 20


def copy_out(source: Path, to: Path) -> Counts:
    """Copy a database that may be in use to a new file, and compare them row by row.

    Writers are not kept waiting: the copy is of one moment, and all is read as of that moment.

    Raises:
        KeepingError: if there is no database, or no room.
        DamagedError: if it cannot be read whole.
    """
    if not source.exists():
        raise KeepingError(f"There is no database at {source}, so there is nothing to copy.")
    try:
        with closing(sqlite3.connect(source, isolation_level=None)) as live:
            live.execute("PRAGMA busy_timeout = 5000")
            live.execute("BEGIN")
            before = sqlite_counts(live)
            with closing(sqlite3.connect(to, isolation_level=None)) as copy:
                live.backup(copy)
                # One file without a log beside it, wherever it is opened.
                copy.execute("PRAGMA journal_mode = DELETE")
            live.execute("ROLLBACK")
    except sqlite3.OperationalError as error:
        raise KeepingError(f"The database could not be copied: {error}.") from error
    except sqlite3.DatabaseError as error:
        raise DamagedError(f"The database at {source} is damaged: {error}.") from error
    compare(before, counts_of(to))
    return before


def compare(expected: Counts, found: Counts) -> None:
    """Refuse a database that does not hold the rows that are expected.

    Raises:
        DamagedError: naming the tables.
    """
    wrong = differing(expected, found)
    if wrong:
        raise DamagedError(f"The copy is not the same in: {', '.join(wrong)}. Take another copy.")


def counts_of(path: Path) -> Counts:
    """Return the counts of a database file that is sound.

    Raises:
        DamagedError: if it is none.
    """
    faults = faults_in(path)
    if faults:
        raise DamagedError(f"{path} is damaged: {'; '.join(faults[:3])}.")
    with closing(sqlite3.connect(path)) as connection:
        return sqlite_counts(connection)


def faults_in(path: Path, *, whole: bool = True) -> list[str]:
    """Return what is wrong inside a database file: pages, indexes, and rows that lead nowhere.

    Args:
        path: of the file.
        whole: whether indexes are compared with their tables too, which takes longer.

    Raises:
        KeepingError: if it cannot be opened just now.
    """
    kind = "integrity_check" if whole else "quick_check"
    try:
        with closing(sqlite3.connect(path)) as connection:
            connection.execute("PRAGMA busy_timeout = 5000")
            rows = connection.execute(f"PRAGMA {kind}({MOST_FAULTS})").fetchall()
            found = [str(text) for (text,) in rows if text != "ok"]
            if not found:
                lost = connection.execute("PRAGMA foreign_key_check").fetchmany(MOST_FAULTS)
                found = [f"row {row} of {table} leads to no {to}" for table, row, to, _ in lost]
    except sqlite3.OperationalError as error:
        raise KeepingError(f"{path} cannot be opened: {error}.") from error
    except sqlite3.DatabaseError as error:
        return [str(error)]
    return found


def clear(path: Path, tables: Iterable[str]) -> None:
    """Delete all rows of those tables that a database file has."""
    with closing(sqlite3.connect(path)) as connection:
        for name in sorted({*tables} & {*sqlite_tables(connection)}):
            connection.execute(f'DELETE FROM "{name}"')  # noqa: S608 - its own name
        connection.commit()
    flush_to_disk(path)


def _let_go(path: Path) -> None:
    """Bring a database to one file alone; refuse if anybody has it open.

    Raises:
        KeepingError: if it is in use.
    """
    try:
        with closing(sqlite3.connect(path, isolation_level=None, timeout=1)) as connection:
            # SQLite leaves the log only to the one connection that there is.
            connection.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.OperationalError as error:
        if "locked" in str(error):
            message = f"{path} is in use. Stop Hoodwright, then restore."
            raise KeepingError(message) from error
        raise KeepingError(f"{path} cannot be opened: {error}.") from error
    except sqlite3.DatabaseError:
        return  # so damaged that nobody can have it open: it is put aside as it is


def _second_name(path: Path, other: Path) -> None:
    with suppress(OSError):
        os.link(path, other)
    if not other.exists():  # a disk without second names
        shutil.copy2(path, other)
        flush_to_disk(other)


def put_back(new: Path, place: Path, aside: Path) -> Path | None:
    """Put a database file, whole and checked, into its place; keep the one there beside it.

    There is a whole database in the place at every moment, whenever the power fails.

    Returns:
        Where the old one is, or None if there was none.

    Raises:
        KeepingError: if the old one is in use.
    """
    kept = None
    if place.exists():
        _let_go(place)
        _second_name(place, aside)
        for log in LOGS:  # of a damaged one; else there are none
            left = place.with_name(place.name + log)
            if left.exists():
                left.replace(aside.with_name(aside.name + log))
        kept = aside
    new.replace(place)
    if os.name == "posix":
        flush_to_disk(place.parent)
    return kept
