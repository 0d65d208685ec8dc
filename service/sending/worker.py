"""The worker of the embedded database: one thread that sends what is due.

It wakes after each commit that puts something into the outbox, and when a pause is over. What
a crash has left behind is due like anything else, once its claim has run out.
"""

import logging
from threading import Event, Thread
from typing import Final

from service.db import Database
from service.faultlog import tell_unexpected
from service.orders import Clock
from service.sending.deliver import deliver
from service.sending.doormail import tell_all
from service.sending.ring import on_ring
from service.sending.rows import due, due_again
from service.settings import MailSettings
from service.troubles import TroubleError

LONGEST_SLEEP: Final = 60.0
"""Seconds after which the outbox is looked at anyway: another process may have written."""
PATIENCE: Final = 10.0
"""Seconds to wait at the end for a mail that is just leaving."""
log = logging.getLogger("hoodwright")


class Worker:
    """A thread that sends what is due until it is stopped."""

    def __init__(self, database: Database, mail: MailSettings, clock: Clock) -> None:
        """Keep what it works with."""
        self._database, self._mail, self._clock = database, mail, clock
        self._wake, self._end = Event(), Event()
        self._thread = Thread(target=self._work, name="deliveries", daemon=True)

    def start(self) -> None:
        """Begin to send."""
        self._stop_hearing = on_ring(self._wake.set)
        self._thread.start()

    def stop(self, patience: float = PATIENCE) -> bool:
        """Finish the mail that is just leaving, and end; return whether it did in time."""
        if not self._end.is_set():
            self._stop_hearing()
        self._end.set()
        self._wake.set()
        self._thread.join(patience)
        return not self._thread.is_alive()

    def _work(self) -> None:
        while not self._end.is_set():
            # Cleared first: what rings while mails are sent is not overheard.
            self._wake.clear()
            try:
                pause = self._round()
            except TroubleError as error:
                log.error("The outbox cannot be worked on: %s", error.said)  # noqa: TRY400 - a sentence for the maker
                pause = LONGEST_SLEEP
            except Exception as error:  # noqa: BLE001 - what nobody thought of must not end it
                tell_unexpected("The outbox cannot be worked on", error)
                pause = LONGEST_SLEEP
            if not self._end.is_set():
                self._wake.wait(pause)

    def _round(self) -> float:
        """Send what is due; return the seconds until something is due again."""
        with self._database.reading() as session:
            waiting = due(session, self._clock())
        for delivery in waiting:
            if self._end.is_set():
                return 0
            deliver(self._database, self._mail, delivery, self._clock)
        if not self._end.is_set():
            tell_all(self._database, self._mail, self._clock)
        with self._database.reading() as session:
            moment = due_again(session)
        if moment is None:
            return LONGEST_SLEEP
        seconds = (moment - self._clock()).total_seconds()
        return min(max(seconds, 0.05), LONGEST_SLEEP)
