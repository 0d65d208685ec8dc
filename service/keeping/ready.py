"""Whether a server can do its work now: its database answers, and has the tables it needs."""

from collections.abc import Callable
from threading import Lock
from time import monotonic
from typing import Final

from service.keeping.backup import file_of, kind_of
from service.keeping.faults import KeepingError
from service.keeping.revisions import embedded_revision, known_revisions, server_revision

FRESH: Final = 1.0
"""Seconds for which an answer stands: whoever asks more often costs no more."""
STOPPING: Final = "stopping"
NO_DATABASE: Final = "the database does not answer"
OLD_TABLES: Final = "the tables are older than this version"


class Readiness:
    """What stands between a server and its work.

    Attributes:
        stopping: set when the server was told to stop and still answers.
    """

    def __init__(self, url: str, seconds: Callable[[], float] = monotonic) -> None:
        """Take the database's address, and a clock for how long an answer stands."""
        self.stopping = False
        self._url, self._seconds = url, seconds
        self._known = known_revisions()
        self._lock = Lock()
        self._said, self._until = "", float("-inf")

    def lacks(self) -> str:
        """Return what is missing, or nothing if the server is ready."""
        if self.stopping:
            return STOPPING
        with self._lock:
            if self._seconds() >= self._until:
                self._said = self._look()
                self._until = self._seconds() + FRESH
            return self._said

    def _look(self) -> str:
        try:
            revision = self._revision()
        except (KeepingError, OSError):
            return NO_DATABASE
        # A revision that is not known is newer. It is made while the older servers still run,
        # and keeps what they need (DEVELOPERS.md): they go on until they are replaced.
        return OLD_TABLES if revision in ("", *self._known[:-1]) else ""

    def _revision(self) -> str:
        """Return the revision; over a connection of its own, for the others may all be in use."""
        if kind_of(self._url) == "postgresql":
            return server_revision(self._url)
        path = file_of(self._url)
        if not path.exists():  # to open it would make it
            raise FileNotFoundError(path)
        return embedded_revision(path)
