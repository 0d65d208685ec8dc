"""Answers kept ready while what they tell of stands."""

from collections import OrderedDict
from threading import Lock
from typing import Final

from service.orders import Standing

MOST: Final = 200
"""Answers that are kept; an order's is some 25 kB."""


class Answers:
    """The last answers, by what they tell of. A process has its own; none can be out of date."""

    def __init__(self, most: int = MOST) -> None:
        """Keep nothing yet."""
        self._most = most
        self._kept: OrderedDict[Standing, bytes] = OrderedDict()
        self._lock = Lock()

    def get(self, stands: Standing) -> bytes | None:
        """Return the answer, or None if it is not kept."""
        with self._lock:
            if stands in self._kept:
                self._kept.move_to_end(stands)
            return self._kept.get(stands)

    def keep(self, stands: Standing, answer: bytes) -> bytes:
        """Keep an answer, in place of the one that was not asked for longest; return it."""
        with self._lock:
            self._kept[stands] = answer
            if len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return answer
