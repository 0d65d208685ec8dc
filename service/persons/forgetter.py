"""The look, each day, for buyers that the shop's setting lets go."""

from pathlib import Path
from typing import Final

from service.bringing.files import forget_old as forget_old_files
from service.db import Database
from service.errands import forget_old
from service.faultlog import tell_unexpected
from service.orders import Clock
from service.persons.forgetting import forget_due
from service.rounds import Rounds

FIRST: Final = 60.0
"""Seconds after the start: not while everything else begins."""
PAUSE: Final = 3600.0
"""Seconds between two looks: a laptop sleeps, days begin unseen."""
PATIENCE: Final = 10.0


class Forgetter(Rounds):
    """A thread that erases what is due, until it is stopped; nothing while the setting is off."""

    def __init__(
        self, database: Database, folder: Path, clock: Clock, pause: float = PAUSE
    ) -> None:
        """Keep what it works with."""
        super().__init__("forgetting", pause, first=min(FIRST, pause), patience=PATIENCE)
        self._database, self._folder, self._clock = database, folder, clock

    def go_round(self) -> None:
        """Erase what is due, or write down that it cannot be looked for."""
        try:
            self._forget_work()
            forget_due(self._database, self._folder, self._clock())
        except Exception as error:  # noqa: BLE001 - a database out of reach now is there again tomorrow
            tell_unexpected("Buyers to be erased could not be looked for", error)

    def _forget_work(self) -> None:
        """Forget files that were not brought in and tickets printed together, after a day."""
        with self._database.writing() as session:
            forget_old_files(session, self._clock())
            forget_old(session, self._clock())
