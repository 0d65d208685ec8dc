"""Pages kept with the questions that they were worked out from.

A page is shown again only if the database answers each of its questions as it did when the page
was made: so whoever changed whatever, in whichever process, the next look shows it.
"""

from collections import OrderedDict
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from threading import Lock
from typing import Final

from sqlalchemy import Connection

from service.questions import Question, still

MOST: Final = 100
"""Pages that are kept; an order's is some 25 kB."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A page, what was asked for it, and a digest of each answer."""

    asked: Sequence[Question]
    answered: Sequence[bytes]
    page: bytes


class KeptPages:
    """The last pages, by what they are of and who sees them, the day among it."""

    def __init__(self, most: int = MOST) -> None:
        """Keep nothing yet."""
        self._most = most
        self._kept: OrderedDict[Hashable, Kept] = OrderedDict()
        self._lock = Lock()

    def get(self, about: Hashable, connection: Connection) -> bytes | None:
        """Return the page, or None if it is not kept or would be another one by now."""
        with self._lock:
            kept = self._kept.get(about)
            if kept is None:
                return None
            self._kept.move_to_end(about)
        return kept.page if still(connection, kept.asked, kept.answered) else None

    def keep(self, about: Hashable, kept: Kept) -> None:
        """Keep a page, in place of the one that was not looked at longest."""
        with self._lock:
            self._kept[about] = kept
            self._kept.move_to_end(about)
            if len(self._kept) > self._most:
                self._kept.popitem(last=False)

    def forget(self) -> None:
        """Keep none any more."""
        with self._lock:
            self._kept.clear()
