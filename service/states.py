"""The life of an order, as one table."""

from enum import StrEnum
from typing import Final

from service.errors import NotAllowedError


class State(StrEnum):
    """The states of an order."""

    ENQUIRY = "enquiry"
    QUOTED = "quoted"
    ACCEPTED = "accepted"
    MAKING = "making"
    FINISHED = "finished"
    HANDED_OVER = "handed over"
    CANCELLED = "cancelled"


MOVES: Final[dict[State, tuple[State, ...]]] = {
    State.ENQUIRY: (State.QUOTED, State.ACCEPTED, State.CANCELLED),
    State.QUOTED: (State.ACCEPTED, State.ENQUIRY, State.CANCELLED),
    State.ACCEPTED: (State.MAKING, State.QUOTED, State.CANCELLED),
    State.MAKING: (State.FINISHED, State.ACCEPTED, State.CANCELLED),
    State.FINISHED: (State.HANDED_OVER, State.MAKING),
    State.HANDED_OVER: (State.FINISHED,),
    State.CANCELLED: (State.ENQUIRY,),
}
"""Where an order may go from each state: the next step first, steps back after it."""

EDITABLE: Final = frozenset({State.ENQUIRY, State.QUOTED, State.ACCEPTED})
"""States in which measurements, yarn and dog may still be changed: nothing is on the hook."""

OPEN: Final = (State.ENQUIRY, State.QUOTED, State.ACCEPTED, State.MAKING)
"""States in which the hood is still to be made."""

NEEDS_PLAN: Final = frozenset({State.QUOTED, State.ACCEPTED, State.MAKING})
"""States that promise something: no order enters them with a number that still stops."""

LEAST_REASON: Final = 3
"""The fewest characters of a reason."""


def check_move(old: State, new: State, *, planned: bool) -> None:
    """Refuse a move that the table does not hold, or one that needs a plan and has none."""
    if new not in MOVES[old]:
        ways = ", ".join(MOVES[old])
        reason = f"An order that is “{old}” cannot become “{new}”. It can become: {ways}."
        raise NotAllowedError(reason)
    if new in NEEDS_PLAN and not planned:
        reason = f"Before the order is “{new}”, correct or accept the numbers that stop its plan."
        raise NotAllowedError(reason)


def check_editable(state: State) -> None:
    """Refuse to change what a hood on the hook was planned from."""
    if state not in EDITABLE:
        reason = f"The order is “{state}”: move it back to “accepted” before changing it."
        raise NotAllowedError(reason)


def check_informed(new: State, *, informed: bool, reason: str) -> None:
    """Refuse to close an order whose buyer has no care sheet, unless a reason is given."""
    if new is State.HANDED_OVER and not informed and len(reason.strip()) < LEAST_REASON:
        sentence = (
            "The buyer has no care and supervision sheet yet. Send it, or mark it as handed over"
            " on paper; or say in the note why this hood goes without it."
        )
        raise NotAllowedError(sentence)
