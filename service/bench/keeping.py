"""The use cases of the bench: read it, keep what was tapped, and say where the work stands."""

from datetime import datetime, timedelta
from typing import Any, Final

from sqlmodel import Session, col, select

from service.bench.bodies import AnswerOut, EventIn, EventsIn, PaceOut
from service.bench.desk import Desk, desk_of
from service.bench.events import STEPPING, Kind
from service.bench.pace import own_paces, timings_of
from service.bench.stand import state_out
from service.errors import NotAllowedError
from service.models import BenchEvent, Order
from service.orders import order_by_number
from service.planning import rates_of
from service.reading import Reader
from service.shop import shop_of
from service.states import State
from sizing.units import LengthUnit

AT_THE_BENCH: Final = frozenset({State.MAKING, State.FINISHED, State.HANDED_OVER})
"""States in which taps are kept: a phone may have been without a connection to the end."""
LOOKED_BACK: Final = 10
"""Hoods whose clock the maker's pace is learned from, the latest."""
_TICK: Final = timedelta(milliseconds=1)


def desk_at(session: Session, number: str, *, lock: bool = False) -> Desk:
    """Return the work on an order's hood.

    Raises:
        NotFoundError: if there is no such order.
        NotAllowedError: if its hood is not being made.
        NoPlanError: if it has no plan.
    """
    order = order_by_number(session, number)
    if lock:  # two phones at once: one after the other
        session.refresh(order, with_for_update=True)
    if State(order.state) not in AT_THE_BENCH:
        reason = (
            f"Order {order.number} is “{order.state}”: begin its hood on the order's page, then"
            " go to the bench."
        )
        raise NotAllowedError(reason)
    return desk_of(session, order)


def _refusal(event: EventIn, desk: Desk) -> str:
    """Return what is wrong with an event, or nothing."""
    kind = Kind(event.kind)
    steps = desk.steps_by_plan.get(event.plan)
    if kind in STEPPING and not event.step:
        return "Say which step is done."
    step = desk.steps_known.get((event.plan, event.step))
    if steps is not None and kind in STEPPING and step is None:
        return f"There is no step {event.step} in that plan."
    if kind is Kind.MEASURED:
        if step is not None and step.check is None:
            return f"Nothing is measured at step {event.step}."
        return _read(event.measured, desk.asked.unit)[1]
    if kind is Kind.UNDO and not event.undoes:
        return "Say which events are taken back."
    return ""


def _read(text: str, unit: LengthUnit) -> tuple[float | None, str]:
    """Return a length in mm, and what is wrong with it or nothing."""
    read = Reader(unit)
    mm = read.length("measured", text)
    return mm, read.wrong.get("measured", "")


def event_row(
    desk: Desk,
    uid: str,
    now: datetime,
    **given: Any,  # noqa: ANN401 - any column
) -> BenchEvent:
    """Return an event of the plan's order, to be kept."""
    return BenchEvent(order_id=desk.order.id or 0, uid=uid, kept_at=now, **given)


def _kept(event: EventIn, desk: Desk, now: datetime) -> BenchEvent:
    details: dict[str, Any] = {}
    if event.undoes:
        details["undoes"] = list(event.undoes)
    if event.measured:
        details["measured"] = event.measured
        details["mm"] = _read(event.measured, desk.asked.unit)[0]
    return event_row(desk, event.id, now, kind=event.kind, plan=event.plan, step=event.step,
                details=details, at=event.at)  # fmt: skip


def keep_events(session: Session, number: str, batch: EventsIn, now: datetime) -> AnswerOut:
    """Keep events; one that is kept already is not kept again, and one refused stops no other.

    Raises:
        NotFoundError, NotAllowedError, NoPlanError: as `desk_at`.
    """
    desk = desk_at(session, number, lock=True)
    known = {row.uid for row in desk.rows}
    kept: list[str] = []
    refused: dict[str, str] = {}
    for sent in batch.events:
        event = sent if sent.plan else sent.model_copy(update={"plan": desk.plan.mark})
        wrong = "" if event.id in known else _refusal(event, desk)
        if wrong:
            refused[event.id] = wrong
            continue
        if event.id not in known:
            session.add(_kept(event, desk, now))
            known.add(event.id)
        if event.id not in kept:
            kept.append(event.id)
    session.flush()
    after = desk_of(session, desk.order)
    return AnswerOut(kept=kept, refused=refused, state=state_out(after, now))


def paces_of_shop(session: Session) -> dict[str, PaceOut]:
    """Return the paces that the clock of the latest hoods shows, beside those of the shop."""
    latest = (
        select(BenchEvent.order_id)
        .distinct()
        .order_by(col(BenchEvent.order_id).desc())
        .limit(LOOKED_BACK)
    )
    orders = session.exec(select(Order).where(col(Order.id).in_(list(session.exec(latest)))))
    desks = [desk_of(session, order) for order in orders if order.plan is not None]
    timings = [one for desk in desks for one in timings_of(desk.clock.timed, desk.steps_known)]
    pace = rates_of(shop_of(session)[0].rates).pace
    return {
        kind: PaceOut(pace=one.pace, minutes=one.minutes)
        for kind, one in own_paces(timings, pace).items()
    }
