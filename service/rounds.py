"""A piece of work done again and again beside everything else, until it is stopped."""

from abc import ABC, abstractmethod
from threading import Event, Thread


class Rounds(ABC):
    """A thread that goes its round, waits, and goes again."""

    def __init__(
        self, name: str, pause: float, *, first: float = 0.0, patience: float = 10.0
    ) -> None:
        """Take the thread's name and the seconds of its waits.

        Args:
            name: of the thread.
            pause: between two rounds.
            first: before the first one.
            patience: at the end, for a round that is just being gone.
        """
        self._pause, self._first, self._patience = pause, first, patience
        self._end = Event()
        self._thread = Thread(target=self._work, name=name, daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def stop(self) -> bool:
        """End after the round that is just being gone; return whether it did in time."""
        self._end.set()
        self._thread.join(self._patience)
        return not self._thread.is_alive()

    def _work(self) -> None:
        self._end.wait(self._first)
        while not self._end.is_set():
            self.go_round()
            self._end.wait(self._pause)

    @abstractmethod
    def go_round(self) -> None:
        """Do the work once; whatever befalls it must not end the rounds."""
