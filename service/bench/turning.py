"""Where the work takes another turn: it stands at another row, or the rest is planned again.

These depend on what was known when they came, so they are kept one after the other.
"""

from datetime import datetime, timedelta
from typing import Final

from sqlmodel import Session

from service.bench.bodies import FollowIn, PlaceIn
from service.bench.desk import Desk, desk_of
from service.bench.events import STEPPING, Kind
from service.bench.keeping import desk_at, event_row
from service.errors import NotAllowedError, StaleError, UnreadableError
from service.models import OrderEvent
from service.states import State
from service.work import judged
from sizing.replan import Verdict

_TICK: Final = timedelta(milliseconds=1)


def moment_for(desk: Desk, now: datetime) -> datetime:
    """Return the moment of a tap that the server itself takes note of: after all others of it."""
    late = [event.at for event in desk.events if event.at <= now + _TICK * len(desk.events)]
    return max([now, *(at + _TICK for at in late)])


def _checked(desk: Desk, plan: str) -> None:
    if plan and plan != desk.plan.mark:
        message = "Another plan is followed by now. Load the bench again, then go on."
        raise StaleError(message)


def set_place(session: Session, number: str, asked: PlaceIn, now: datetime) -> Desk:
    """Let the work stand at a step: forward past rows made without a tap, or back.

    Raises:
        NotFoundError, NotAllowedError, NoPlanError: as `desk_at`.
        StaleError: if another plan is followed by now.
        UnreadableError: if there is no such step.
    """
    desk = desk_at(session, number, lock=True)
    if any(row.uid == asked.id for row in desk.rows):
        return desk
    _checked(desk, asked.plan)
    keys = [step.key for step in desk.steps]
    if asked.step not in keys:
        message = "There is no such row. Choose one from the list."
        raise UnreadableError(message, {"step": message})
    to = keys.index(asked.step)
    if to < desk.base:
        message = "The plan that is followed begins after that row. Measure what is on the hook."
        raise UnreadableError(message, {"step": message})
    back = set(keys[to:])
    undone = [
        event.uid
        for event in desk.events
        if event.uid not in desk.struck
        and event.plan == desk.plan.mark
        and (event.kind is Kind.PLACE or (event.kind in STEPPING and event.step in back))
    ]
    row = event_row(desk, asked.id, now, kind=Kind.PLACE.value, plan=desk.plan.mark,
                    step=asked.step, details={"undoes": undone},
                    at=moment_for(desk, now))  # fmt: skip
    session.add(row)
    session.flush()
    return desk_of(session, desk.order)


def follow(session: Session, number: str, asked: FollowIn, now: datetime) -> Desk:
    """Work the rest as planned again from the piece on the hook.

    Raises:
        NotFoundError, NotAllowedError, NoPlanError: as `desk_at`.
        StaleError: if another plan is followed by now.
        UnreadableError, ValueOutOfRangeError: if the piece cannot be read or gone on with.
    """
    desk = desk_at(session, number, lock=True)
    if any(row.uid == asked.id for row in desk.rows):
        return desk
    _checked(desk, asked.plan)
    if State(desk.order.state) is not State.MAKING:
        raise NotAllowedError("The hood is finished: there is no rest to work.")
    again = judged(desk.plan.plan, asked.piece, desk.asked.unit)
    if again.verdict is Verdict.MEASURE_AGAIN:
        raise UnreadableError(again.why, {"width": again.why})
    piece = asked.piece.model_dump(mode="json")
    row = event_row(desk, asked.id, now, kind=Kind.FOLLOW.value, plan=desk.plan.mark, step="",
                    details={"piece": piece}, at=moment_for(desk, now))  # fmt: skip
    session.add(row)
    where = f"after row {again.row}" if again.row else "begun anew"
    note = f"The {asked.piece.part}, {where}, is worked as planned again."
    session.add(OrderEvent(order_id=desk.order.id or 0, at=now, kind="the rest planned again",
                           note=note, change={}))  # fmt: skip
    session.flush()
    return desk_of(session, desk.order)
