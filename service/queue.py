"""The queue of hoods to make, and what it lets the maker promise."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import exp, sqrt
from statistics import median
from typing import Any, Final

from sqlalchemy import func
from sqlalchemy import select as columns
from sqlmodel import Session, col

from service.capacitybodies import (
    WEEKDAYS,
    CapacityIn,
    PromiseOut,
    QueueOut,
    SlipOut,
    TrialIn,
    TrialOut,
)
from service.models import Order, Together
from service.planning import labour_again
from service.promise import Capacity, Promise, Slip, Work, promise_for, promises
from service.shop import shop_of
from service.states import State
from sizing.labour import Labour
from sizing.lognormal import USUAL_Z
from sizing.timing import HOOD_TIME_SD, PACE_SD

QUEUED: Final = (State.ACCEPTED, State.MAKING)
"""States in which a hood is promised and not made yet."""
_RECENT: Final = 30
"""Plans that tell how long a usual hood takes."""
_MINUTES: Final = 60


@dataclass(frozen=True, slots=True)
class Queue:
    """The hoods to make, whose they are, and the time there is for them.

    Attributes:
        works: in the order that they were taken in.
        dogs: the dog's name by the order's number.
        capacity: None while the shop has no hours.
    """

    works: tuple[Work, ...]
    dogs: dict[str, str]
    capacity: Capacity | None


def capacity_of(told: CapacityIn) -> Capacity | None:
    """Return the maker's time, or None where none was told."""
    hours = [getattr(told.hours, day) for day in WEEKDAYS]
    if not any(hours):
        return None
    mon, tue, wed, thu, fri, sat, sun = (hour * _MINUTES for hour in hours)
    off = tuple((days.first, days.last) for days in told.off)
    return Capacity((mon, tue, wed, thu, fri, sat, sun), off, told.posting)


def _safe(labour: Labour) -> float:
    """Return the high end of the time; a plan of the first engine had none."""
    if labour.spread:
        return labour.spread.high
    return labour.minutes * exp(USUAL_Z * sqrt(PACE_SD.value**2 + HOOD_TIME_SD.value**2))


def _work(
    number: str, state: str, due: date | None, kept: dict[str, Any], parcel: object = ""
) -> Work:
    labour = labour_again(kept)
    begun = state == State.MAKING
    return Work(number, labour.minutes, _safe(labour), due, begun, str(parcel))


def work_of(order: Order, parcel: str = "") -> Work | None:
    """Return an order's hood as work, or None while it has no plan."""
    if order.plan is None:
        return None
    return _work(order.number, order.state, order.due, order.plan["labour"], parcel)


# Of a plan only its time is read: whole, those of thirty orders take as long as a page.
_KEPT: Any = col(Order.plan)
_WORKS: Final = columns(
    col(Order.number), col(Order.state), col(Order.due), _KEPT["labour"], col(Order.dog_name)
).where(col(Order.planned))
_PARCEL: Final = func.coalesce(col(Together.first_id), col(Order.id))
_QUEUED: Final = (
    _WORKS.add_columns(_PARCEL)
    .outerjoin(Together, col(Together.order_id) == col(Order.id))
    .where(col(Order.state).in_(QUEUED))
    .order_by(col(Order.id))
)
_USUAL: Final = _WORKS.order_by(col(Order.id).desc()).limit(_RECENT)


def queue(session: Session) -> Queue:
    """Return the hoods to make."""
    rows = session.execute(_QUEUED).all()
    works = tuple(
        _work(number, state, due, kept, parcel) for number, state, due, kept, _, parcel in rows
    )
    dogs = {number: dog for number, _, _, _, dog, _ in rows}
    return Queue(works, dogs, capacity_of(shop_of(session)[0].capacity))


def usual(session: Session) -> tuple[float, float] | None:
    """Return the likely and the safe minutes of a usual hood; None before any was planned."""
    rows = session.execute(_USUAL)
    works = [_work(number, state, due, kept) for number, state, due, kept, _ in rows]
    if not works:
        return None
    return median(one.likely for one in works), median(one.safe for one in works)


def queue_promises(known: Queue, today: date) -> dict[str, Promise]:
    """Return the promises by number, in the order of the queue; none without hours."""
    if known.capacity is None:
        return {}
    return {one.key: one for one in promises(known.works, known.capacity, today)}


def queue_out(known: Queue, today: date) -> QueueOut:
    """Return the queue for the wire."""
    works = {work.key: work for work in known.works}
    capacity = known.capacity or Capacity((0, 0, 0, 0, 0, 0, 0))
    return QueueOut(
        known=known.capacity is not None,
        queue=[
            PromiseOut(
                number=one.key,
                dog=known.dogs[one.key],
                due=one.due,
                likely=one.likely,
                safe=one.safe,
                minutes=works[one.key].likely,
                begun=works[one.key].begun,
                late=known.capacity is not None and one.late,
                near=known.capacity is not None and one.near,
            )
            for one in promises(known.works, capacity, today)
        ],
    )


def _slip_out(slip: Slip, dogs: dict[str, str]) -> SlipOut:
    return SlipOut(
        number=slip.key,
        dog=dogs[slip.key],
        due=slip.after.due,
        before=slip.before.likely,
        after=slip.after.likely,
        breaks=slip.breaks,
    )


def tried(known: Queue, new: Work | None, today: date, along: Sequence[Work] = ()) -> TrialOut:
    """Return when a hood could be with its buyer, and whose day it moves back.

    `along` are hoods that come with it and are not in the queue yet.
    """
    if known.capacity is None or new is None:
        return TrialOut(
            known=False,
            likely=None,
            safe=None,
            minutes=new.likely if new else None,
            late=False,
            near=False,
            slips=[],
        )
    mine, slips = promise_for(new, known.works, known.capacity, today, along)
    return TrialOut(
        known=True,
        likely=mine.likely,
        safe=mine.safe,
        minutes=new.likely,
        late=mine.late,
        near=mine.near,
        slips=[_slip_out(slip, known.dogs) for slip in slips],
    )


def trial(session: Session, asked: TrialIn, today: date) -> TrialOut:
    """Return when a hood that is not taken yet could be with its buyer."""
    minutes = usual(session)
    if asked.minutes:
        minutes = (asked.minutes, max(asked.safe_minutes or asked.minutes, asked.minutes))
    new = Work("", *minutes, asked.due) if minutes else None
    return tried(queue(session), new, today)
