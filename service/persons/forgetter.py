"""The look, each day, for buyers that the shop's setting lets go."""

import logging
from pathlib import Path
from threading import Event, Thread
from typing import Final

from service.db import Database
from service.orders import Clock
from service.persons.forgetting import forget_due

FIRST: Final = 60.0
"""Seconds after the start: not while everything else begins."""
PAUSE: Final = 3600.0
"""Seconds between two looks: a laptop sleeps, days begin unseen."""
PATIENCE: Final = 10.0
log = logging.getLogger("hoodwright")


class Forgetter:
    """A thread that erases what is due, until it is stopped; nothing while the setting is off."""

    def __init__(
        self, database: Database, folder: Path, clock: Clock, pause: float = PAUSE
    ) -> None:
        """Keep what it works with."""
        self._database, self._folder, self._clock, self._pause = database, folder, clock, pause
        self._end = Event()
        self._thread = Thread(target=self._work, name="forgetting", daemon=True)

    def start(self) -> None:
        """Begin to look."""
        self._thread.start()

    def stop(self, patience: float = PATIENCE) -> bool:
        """End after the look that is just being taken; return whether it did in time."""
        self._end.set()
        self._thread.join(patience)
        return not self._thread.is_alive()

    def _work(self) -> None:
        self._end.wait(min(FIRST, self._pause))
        while not self._end.is_set():
            try:
                forget_due(self._database, self._folder, self._clock())
            except Exception:  # a database out of reach now is there again tomorrow
                log.exception("Buyers that are to be erased could not be looked for.")
            self._end.wait(self._pause)
