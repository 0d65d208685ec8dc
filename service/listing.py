"""Orders in a list: only what a line shows is read, never a plan."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final

from sqlalchemy import Select, select
from sqlmodel import Session

from service.lookup import found_by
from service.models import Order, columns_of
from service.states import OPEN, State

PAGE: Final = 50


@dataclass(frozen=True, slots=True)
class Line:
    """An order as a list shows it."""

    id: int
    number: str
    state: str
    buyer_name: str
    dog_name: str
    breed: str
    due: date | None
    planned: bool
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


def _lines(session: Session, query: Select[Any]) -> list[Line]:
    return [Line(*row) for row in session.execute(query)]


_ORDER = columns_of(Order)
_LINES: Final[Select[Any]] = select(*(_ORDER[name] for name in Line.__dataclass_fields__))


def orders_like(session: Session, sought: Sought) -> tuple[list[Line], int | None]:
    """Return orders, newest first, and the id to go on from, or None at the end."""
    query = _LINES.where(*found_by(sought.words)).order_by(_ORDER.id.desc())
    if sought.state:
        query = query.where(_ORDER.state == sought.state)
    if sought.due_by:
        query = query.where(_ORDER.due <= sought.due_by)
    if sought.before_id is not None:
        query = query.where(_ORDER.id < sought.before_id)
    rows = _lines(session, query.limit(sought.most + 1))
    more = rows[sought.most - 1].id if len(rows) > sought.most else None
    return rows[: sought.most], more


def due_next(session: Session, most: int = 5) -> list[Line]:
    """Return the orders with a due date that are still to be made, the nearest first."""
    open_states = [State(state).value for state in OPEN]
    query = _LINES.where(_ORDER.due.is_not(None), _ORDER.state.in_(open_states))
    return _lines(session, query.order_by(_ORDER.due, _ORDER.id).limit(most))
