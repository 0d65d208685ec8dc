"""The keeper of the embedded database: a thread that makes a copy each day."""

import logging
from pathlib import Path
from typing import Final

from service.faultlog import tell_unexpected
from service.keeping.backup import back_up
from service.keeping.faults import KeepingError
from service.keeping.rotation import name_of, rotate
from service.orders import Clock
from service.rounds import Rounds

PAUSE: Final = 3600.0
"""Seconds between two looks whether a day's copy is there: a laptop sleeps, days begin unseen."""
PATIENCE: Final = 30.0
"""Seconds to wait at the end for a copy that is just being made."""
log = logging.getLogger("hoodwright")


class Keeper(Rounds):
    """A thread that copies the database each day, until it is stopped."""

    def __init__(self, url: str, folder: Path, clock: Clock, pause: float = PAUSE) -> None:
        """Keep what it works with."""
        super().__init__("copies", pause, patience=PATIENCE)
        self._url, self._folder, self._clock = url, folder, clock

    def go_round(self) -> None:
        """Make the day's copy if it is not there, or write down why it cannot be made."""
        try:
            self.look()
        except KeepingError as error:
            log.error("No copy of the database was made today: %s", error)  # noqa: TRY400 - a sentence for the maker
        except Exception as error:  # noqa: BLE001 - what nobody thought of must not end the copies of later days
            tell_unexpected("No copy of the database was made today", error)

    def look(self) -> bool:
        """Make the day's copy if it is not there; then drop old ones. Return whether one was made.

        Old copies go only after a new one was made and tried.
        """
        to = self._folder / name_of(self._clock().date())
        if to.exists():
            return False
        back_up(self._url, to, self._clock())
        rotate(self._folder)
        return True
