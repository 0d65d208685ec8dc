"""Long work beside the pages: one thread for each, and how far it is."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock, Thread
from typing import Final

from service.bringing.survey import Tick
from service.errors import ServiceError

log = logging.getLogger("hoodwright")
_FAULT: Final = "Something went wrong on our side; nothing was changed. Please try again."


@dataclass(slots=True)
class Errand:
    """A piece of work: how many lines are done, of how many, and what ended it."""

    done: int = 0
    whole: int = 0
    wrong: str = ""
    over: bool = False


class Errands:
    """The pieces of work of one process, by the number of their file."""

    def __init__(self) -> None:
        """Begin with none."""
        self._lock = Lock()
        self._known: dict[int, Errand] = {}

    def of(self, file_id: int) -> Errand | None:
        """Return the work on a file, or None where there was none since the start."""
        return self._known.get(file_id)

    def begin(self, file_id: int, work: Callable[[Tick], object]) -> Errand:
        """Begin a piece of work, unless one on the same file goes on."""
        with self._lock:
            going = self._known.get(file_id)
            if going and not going.over:
                return going
            errand = self._known[file_id] = Errand()
        Thread(target=self._run, args=(errand, work), name="bring in", daemon=True).start()
        return errand

    def _run(self, errand: Errand, work: Callable[[Tick], object]) -> None:
        def tick(done: int, whole: int) -> None:
            errand.done, errand.whole = done, whole

        try:
            work(tick)
        except ServiceError as error:
            errand.wrong = str(error)
        except Exception:  # whoever waits must hear of it
            log.exception("fault")
            errand.wrong = _FAULT
        finally:
            errand.over = True
