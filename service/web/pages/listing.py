"""The list of orders: what is due next, then all of them, newest first."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated

from fastapi import Query
from fastapi.responses import HTMLResponse

from service.listing import Line, Sought, due_next, orders_like
from service.orderout import OrderLine, order_line
from service.owner.enquiries import unseen
from service.states import State
from service.web.dependencies import ClockOf, DatabaseOf, cursor_of, id_of
from service.web.pages.render import page
from service.web.pages.words import STATES, capital, due_words
from service.web.parts import page_part

router = page_part()


@dataclass(frozen=True, slots=True)
class Card:
    """An order in the list: its line, its state, and how near its due date is."""

    line: OrderLine
    state: str
    near: str
    late: bool
    stopped: bool
    stranger: bool = False


def _card(order: Line, today: date, strange: frozenset[int | None]) -> Card:
    line = order_line(order)
    near = due_words(line.due, today, line.state)
    return Card(
        line=line,
        state=capital(line.state.value),
        near=near,
        late=near.endswith("late"),
        stopped=line.stopped and line.state is not State.CANCELLED,
        stranger=order.id in strange,
    )


@router.get("/orders")
def orders_page(
    database: DatabaseOf,
    clock: ClockOf,
    state: Annotated[str, Query(max_length=40)] = "",
    q: Annotated[str, Query(max_length=200)] = "",
    cursor: Annotated[str, Query(max_length=100)] = "",
) -> HTMLResponse:
    """Show the orders; what is due next stands first while nothing is looked for."""
    known = state if state in {value for value, _ in STATES} else ""
    sought = Sought(state=known, words=q, before_id=id_of(cursor))
    plain = not (known or q.strip() or cursor)
    today = clock().date()
    with database.reading() as session:
        rows, more = orders_like(session, sought)
        soon = due_next(session, 3) if plain else []
        strangers = unseen(session)
    strange = frozenset(row.order_id for row in strangers)
    return page(
        "orders.html",
        cards=[_card(row, today, strange) for row in rows],
        soon=[_card(row, today, strange) for row in soon],
        older=cursor_of(more),
        strangers=len(strangers),
        states=STATES,
        state=known,
        q=q,
        plain=plain,
        first=not cursor,
    )
