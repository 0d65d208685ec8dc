"""What is tapped at the bench."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class Kind(StrEnum):
    """The kinds of events.

    `done` a step is done, or a measure is tapped away; `measured` with what the tape said;
    `undo` takes events back; `start` and `pause` the clock; `place` the work stands at a step;
    `follow` the rest is worked as planned again.
    """

    DONE = "done"
    MEASURED = "measured"
    UNDO = "undo"
    START = "start"
    PAUSE = "pause"
    PLACE = "place"
    FOLLOW = "follow"


STEPPING = frozenset({Kind.DONE, Kind.MEASURED})
TAKING_BACK = frozenset({Kind.UNDO, Kind.PLACE})


@dataclass(frozen=True, slots=True)
class Event:
    """One event.

    Attributes:
        uid: made where it was tapped; the same one twice is one event.
        kind: what it is.
        plan: the mark of the plan that was worked by.
        step: the key of the step it is about; empty for the clock.
        at: the moment of the tap, by the clock of the phone.
        undoes: the events that it takes back.
        measured: what the tape said, as typed.
        mm: the same in mm; None where nothing was measured.
    """

    uid: str
    kind: Kind
    plan: str
    step: str
    at: datetime
    undoes: tuple[str, ...] = ()
    measured: str = ""
    mm: float | None = None


def taken_back(events: Iterable[Event]) -> frozenset[str]:
    """Return the ids of all events that were taken back."""
    return frozenset(uid for event in events if event.kind in TAKING_BACK for uid in event.undoes)
