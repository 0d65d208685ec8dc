"""How often somebody may try to sign in: after a few wrong tries pauses that grow."""

from collections import OrderedDict
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from threading import Lock
from typing import Final

MOST: Final = 10_000
"""Names and addresses that are remembered; the ones not tried for longest are forgotten first."""
FORGOTTEN: Final = timedelta(hours=1)
"""After so long without a try all is forgiven."""


class Pauses:
    """For one kind of key: how many tries are free, and how long the pauses become."""

    def __init__(self, free: int, longest: float) -> None:
        """Take the tries without a pause, and the longest pause in seconds."""
        self.free = free
        self.longest = longest
        self._tried: OrderedDict[str, tuple[int, datetime, datetime]] = OrderedDict()
        self._lock = Lock()

    def wait(self, key: str, now: datetime) -> float:
        """Return for how many seconds a key may not be tried."""
        with self._lock:
            _, _, until = self._tried.get(key, (0, now, now))
        return max((until - now).total_seconds(), 0.0)

    def begin(self, key: str, now: datetime) -> int:
        """Count a try before it is known how it ends: many at once must not slip through.

        Returns:
            How many tries there were, this one among them.
        """
        with self._lock:
            count, last, _ = self._tried.pop(key, (0, now, now))
            count = 1 if now - last >= FORGOTTEN else count + 1
            over = count - self.free
            pause = min(2.0 ** min(over, 30), self.longest) if over >= 0 else 0.0
            self._tried[key] = (count, now, now + timedelta(seconds=pause))
            if len(self._tried) > MOST:
                self._tried.popitem(last=False)
        return count

    def undo(self, key: str, now: datetime) -> None:
        """Take a try back that was let in; earlier ones stay counted."""
        with self._lock:
            count, last, _ = self._tried.get(key, (0, now, now))
            if count > 1:
                self._tried[key] = (count - 1, last, now)
            else:
                self._tried.pop(key, None)

    def forgive(self, key: str) -> None:
        """Forget the tries of a key: it was let in."""
        with self._lock:
            self._tried.pop(key, None)


@dataclass(frozen=True, slots=True)
class Tries:
    """What is remembered of tries, in one running application.

    Attributes:
        names: by the name that was tried, whether there is such an account or not.
        addresses: by where the try came from.
        codes: by the account whose password was right and whose second step was not. Pauses grow
            longer than for names: a code has a million values, and three of them are right.
        judged: by the link whose holder asks how strong a password is. Whoever types one asks some
            dozens of times; more is not let work for nothing.
    """

    names: Pauses = field(default_factory=lambda: Pauses(5, 60))
    addresses: Pauses = field(default_factory=lambda: Pauses(15, 900))
    codes: Pauses = field(default_factory=lambda: Pauses(5, 900))
    judged: Pauses = field(default_factory=lambda: Pauses(300, 60))
