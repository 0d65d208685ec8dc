"""The place of the embedded database: the file that was opened, and no other.

In its write-ahead mode SQLite does not see that its file was deleted, moved or replaced: it
goes on writing into a file that has no name any more. So the place is looked at before each
transaction. What was deleted is written anew from what is still held open.
"""

import logging
import os
import sqlite3
from contextlib import closing, suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from service.troubles import DiskFailsError, GoneError

log = logging.getLogger("hoodwright")
LOG, SHARED = "-wal", "-shm"
_OTHER: Final = (
    "Another file lies in the place of the database. What was there is kept whole as {kept}."
    " Stop Hoodwright; put back the file that you want to work with; start again."
)
_MOVED: Final = "The database was moved away from {path}. Put it back; Hoodwright then goes on."


def _name(part: Path, to: Path) -> None:
    """Give a file its name, never over another one, and wait until that is on the disk."""
    try:
        os.link(part, to)
    except FileExistsError:
        raise
    except OSError:  # a disk without second names
        part.rename(to)
    with suppress(OSError):  # not every system syncs a folder
        folder = os.open(to.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


class Place:
    """Where the embedded database lies; holds it open as long as it is worked on."""

    def __init__(self, path: Path) -> None:
        """Make the file if there is none, and hold it."""
        self.path = path
        self._kept: Path | None = None
        self._hold()

    def _hold(self) -> None:
        self._file = os.open(self.path, os.O_RDONLY | os.O_CREAT, 0o644)
        self._anchor: sqlite3.Connection | None = None
        self._log: os.stat_result | None = None

    def anchor(self) -> None:
        """Hold its log too, once there is one: only so can all be read when its names are gone."""
        if self._anchor is not None:
            return
        held = sqlite3.connect(self.path, isolation_level=None, check_same_thread=False)
        if held.execute("PRAGMA page_count").fetchone() == (0,):
            held.close()  # nothing is in it yet, and no log beside it
            return
        # In the mode with a log, and read once: only then it holds the log open.
        held.execute("PRAGMA journal_mode = WAL")
        held.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        self._anchor = held
        with suppress(OSError):
            self._log = self._beside(LOG).stat()

    def _beside(self, ending: str) -> Path:
        return self.path.with_name(self.path.name + ending)

    def is_there(self) -> bool:
        """Return whether the file that was opened is still in its place."""
        try:
            return os.path.samestat(self.path.stat(), os.fstat(self._file))
        except OSError:
            return False

    def mend(self) -> None:
        """Write a deleted database anew.

        Raises:
            GoneError: if it was moved away, or another file is in its place.
            DiskFailsError: if it cannot be written anew.
        """
        if self.path.exists():
            raise GoneError(_OTHER.format(kept=self._put_aside()))
        if os.fstat(self._file).st_nlink or self._anchor is None:
            raise GoneError(_MOVED.format(path=self.path))
        self._save(self.path)
        self.close()
        self._hold()
        log.error("The database file was deleted. It was written anew, whole: %s", self.path)

    def _put_aside(self) -> Path:
        if self._kept is None:
            moment = f"{datetime.now(UTC):%Y-%m-%d-%H%M%S}"
            kept = self.path.with_name(f"{self.path.stem}-held-{moment}{self.path.suffix}")
            self._save(kept)
            self._kept = kept
        return self._kept

    def _save(self, to: Path) -> None:
        """Write all that is held to a new file, and take away the log that belonged to the old."""
        if self._anchor is None:
            raise GoneError
        part = to.with_name(f".{to.name}.{os.getpid()}.part")
        try:
            part.parent.mkdir(parents=True, exist_ok=True)
            part.unlink(missing_ok=True)
            with closing(sqlite3.connect(part, isolation_level=None)) as new:
                self._anchor.backup(new)
                new.execute("PRAGMA journal_mode = DELETE")
            self._drop_log()
            _name(part, to)
        except (OSError, sqlite3.Error) as error:
            log.error("The database was deleted and cannot be written anew: %s", error)  # noqa: TRY400 - a sentence for the maker
            raise DiskFailsError from error
        finally:
            with suppress(OSError):
                part.unlink()

    def _drop_log(self) -> None:
        """Delete the old log, or SQLite would play it into whatever file is in the place."""
        with suppress(OSError):
            if self._log and os.path.samestat(self._beside(LOG).stat(), self._log):
                self._beside(LOG).unlink()
                self._beside(SHARED).unlink()

    def close(self) -> None:
        """Let go of the file."""
        if self._anchor is not None:
            self._anchor.close()
        os.close(self._file)
