"""Orders in a list: only what a line shows is read, never a plan."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final, NamedTuple

from sqlalchemy import Connection, Select, bindparam, select
from sqlmodel import Session

from service.lookup import found_by
from service.models import Order, columns_of
from service.states import OPEN, State

PAGE: Final = 50


class Line(NamedTuple):
    """An order as a list shows it; a page of them is made at once, so each is a plain row."""

    id: int
    number: str
    state: str
    buyer: str
    dog: str
    breed: str
    due: date | None
    stopped: bool
    version: int
    created_at: datetime


@dataclass(frozen=True, slots=True)
class Sought:
    """What orders are looked for: all that are given must hold."""

    state: str = ""
    words: str = ""
    due_by: date | None = None
    before_id: int | None = None
    most: int = PAGE


_ORDER = columns_of(Order)
_LINES: Final[Select[Any]] = select(
    _ORDER.id, _ORDER.number, _ORDER.state, _ORDER.buyer_name, _ORDER.dog_name, _ORDER.breed,
    _ORDER.due, ~_ORDER.planned, _ORDER.version, _ORDER.created_at,
)  # fmt: skip
# Built once: most lists ask for no more.
_NEWEST: Final = _LINES.order_by(_ORDER.id.desc()).limit(bindparam("most"))


def orders_like(on: Session | Connection, sought: Sought) -> tuple[list[Line], int | None]:
    """Return orders, newest first, and the id to go on from, or None at the end."""
    query = _NEWEST
    if sought.words:
        query = query.where(*found_by(sought.words))
    if sought.state:
        query = query.where(_ORDER.state == sought.state)
    if sought.due_by:
        query = query.where(_ORDER.due <= sought.due_by)
    if sought.before_id is not None:
        query = query.where(_ORDER.id < sought.before_id)
    rows = [Line._make(row) for row in on.execute(query, {"most": sought.most + 1}).all()]
    more = rows[sought.most - 1].id if len(rows) > sought.most else None
    return rows[: sought.most], more


def due_next(session: Session, most: int = 5) -> list[Line]:
    """Return the orders with a due date that are still to be made, the nearest first."""
    open_states = [State(state).value for state in OPEN]
    query = _LINES.where(_ORDER.due.is_not(None), _ORDER.state.in_(open_states))
    rows = session.execute(query.order_by(_ORDER.due, _ORDER.id).limit(most))
    return [Line._make(row) for row in rows]
