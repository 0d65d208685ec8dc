"""What stands in the calendar: due dates of orders, and the days at the hook.

No price, no buyer and no address: a calendar is looked at over one's shoulder, and its address
may come into more hands than one thinks.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from uuid import NAMESPACE_URL, uuid5

from sqlalchemy import select as columns
from sqlmodel import Session, col

from service.models import Order
from service.promise import Spell, spells
from service.queue import QUEUED, Queue, queue
from service.states import OPEN, State

KEPT: Final = timedelta(days=60)
"""How long after its due date a cancelled order is still told, so that it leaves all calendars."""
_TOLD: Final = (*OPEN, State.FINISHED)


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of whole days.

    Attributes:
        uid: the same for as long as the order is the same.
        first, last: the days, both included.
        summary, note: what it says.
        link: the order's page.
        changed: when it was last another.
        created: when the order was taken.
        sequence: how often it was changed, for a due date; None for days that are worked out.
        cancelled: whether it is off.
    """

    uid: str
    first: date
    last: date
    summary: str
    note: str
    link: str
    changed: datetime
    created: datetime
    sequence: int | None
    cancelled: bool = False


@dataclass(frozen=True, slots=True)
class _Told:
    """Of an order, what the calendar tells."""

    number: str
    state: str
    due: date | None
    dog: str
    version: int
    created_at: datetime
    changed_at: datetime


# Not its plan: a calendar is asked again and again, and would read that of each order.
_TELL: Final = columns(
    col(Order.number), col(Order.state), col(Order.due), col(Order.dog_name),
    col(Order.version), col(Order.created_at), col(Order.changed_at),
)  # fmt: skip


def _uid(order: _Told, what: str) -> str:
    """Return an id that no other order of any shop has, and that tells nothing."""
    taken = f"{order.created_at:%Y%m%dT%H%M%S}"
    return str(uuid5(NAMESPACE_URL, f"hoodwright:{order.number}:{taken}:{what}"))


def _dog(order: _Told) -> str:
    return order.dog or "Unnamed dog"


def _due(order: _Told, day: date, home: str) -> Entry:
    state = State(order.state)
    return Entry(
        uid=_uid(order, "due"),
        first=day,
        last=day,
        summary=f"{_dog(order)}: hood due, {order.number}",
        note=f"Order {order.number} is “{state.value}”.",
        link=f"{home}/orders/{order.number}",
        changed=order.changed_at,
        created=order.created_at,
        sequence=order.version - 1,
        cancelled=state is State.CANCELLED,
    )


def _at_the_hook(order: _Told, spell: Spell, home: str, today: date) -> Entry:
    return Entry(
        uid=_uid(order, "hook"),
        first=spell.first,
        last=spell.last,
        summary=f"{_dog(order)}: at the hook, {order.number}",
        note="By the queue and your hours, as they are today; it moves with them.",
        link=f"{home}/orders/{order.number}",
        changed=datetime.combine(today, time(), UTC),
        created=order.created_at,
        sequence=None,
    )


def _dues(session: Session, home: str, today: date) -> Iterator[Entry]:
    query = _TELL.where(
        col(Order.due).is_not(None),
        col(Order.state).in_(_TOLD)
        | (col(Order.state) == State.CANCELLED) & (col(Order.due) >= today - KEPT),
    )
    for row in session.execute(query.order_by(col(Order.due), col(Order.id))):
        order = _Told(*row)
        if order.due:
            yield _due(order, order.due, home)


def _spells(session: Session, known: Queue, home: str, today: date) -> Iterator[Entry]:
    if known.capacity is None:
        return
    rows = session.execute(_TELL.where(col(Order.state).in_(QUEUED)))
    orders = {row.number: _Told(*row) for row in rows}
    for spell in spells(known.works, known.capacity, today):
        yield _at_the_hook(orders[spell.key], spell, home, today)


def entries(session: Session, home: str, today: date, *, hook: bool = False) -> list[Entry]:
    """Return the calendar's entries.

    Args:
        session: of the request.
        home: where the pages are, without a slash at the end.
        today: the day it is asked on.
        hook: whether the days at the hook stand in it too.
    """
    found = list(_dues(session, home, today))
    if hook:
        found += _spells(session, queue(session), home, today)
    return found
