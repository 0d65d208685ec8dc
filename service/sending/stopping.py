"""The system's sign to stop, for a worker that finishes the mail in its hand first."""

import asyncio
import signal
from collections.abc import Awaitable, Callable, Generator
from contextlib import contextmanager, suppress
from threading import current_thread, main_thread
from time import monotonic, sleep
from types import FrameType
from typing import Final

SIGNS: Final = (signal.SIGINT, signal.SIGTERM)
_TURN: Final = 0.2  # seconds: a sign does not end a sleep


class Stop:
    """Whether the system has told us to stop.

    Attributes:
        told: set once it has.
    """

    def __init__(self) -> None:
        """Begin untold."""
        self.told = False
        self._then: Callable[[], object] | None = None

    def _hear(self, _sign: int, _frame: FrameType | None) -> None:
        self.told = True
        if self._then:
            self._then()

    @contextmanager
    def heard(self) -> Generator[None]:
        """Hear the signs until the block ends; only the first thread of a process can."""
        if current_thread() is not main_thread():
            yield
            return
        before = {sign: signal.signal(sign, self._hear) for sign in SIGNS}
        try:
            yield
        finally:
            for sign, handler in before.items():
                signal.signal(sign, handler)

    def sleep(self, seconds: float) -> None:
        """Wait so long, or until told to stop."""
        end = monotonic() + seconds
        while not self.told and monotonic() < end:
            sleep(min(_TURN, seconds))

    async def ends(self, work: Awaitable[None]) -> None:
        """Do a piece of work until it ends, or cancel it when told to stop."""
        loop, task = asyncio.get_running_loop(), asyncio.ensure_future(work)
        self._then = lambda: loop.call_soon_threadsafe(task.cancel)
        if self.told:  # between the block's beginning and here
            task.cancel()
        try:
            with suppress(asyncio.CancelledError):
                await task
        finally:
            self._then = None
