"""Many tickets printed as one PDF, meanwhile: begun, how far it is, and what came of it."""

from collections.abc import Sequence
from typing import Annotated, Final

from pydantic import Field
from sqlmodel import Session

from documents.page import Paper
from service import paperwork
from service.db import Database
from service.errands import Errands, Lane, Tick
from service.errors import NotFoundError
from service.fields import Body, Line
from service.models import Errand
from service.orders import found
from service.planbodies import Out
from service.shop import shop_of

MOST: Final = 100
"""Tickets of one print: some two hundred sheets."""
_GONE: Final = "That print is not here any more: they are kept for a day. Print the tickets again."


class PrintIn(Body):
    """The orders whose tickets are wanted, in their order; the paper, or else the shop's."""

    orders: Annotated[list[Line], Field(min_length=1, max_length=MOST)]
    paper: Paper | None = None


class PrintOut(Out):
    """How far a print is, in tickets; whether it is over, and what went wrong, if anything."""

    id: int
    done: int
    whole: int
    over: bool
    wrong: str


def begin_print(
    database: Database,
    errands: Errands,
    numbers: Sequence[str],
    paper: Paper | None,
    place: str,
) -> int:
    """Begin to print the tickets of some orders, and return the number of the print.

    Args:
        database: of the shop.
        errands: does it.
        numbers: of the orders, in the order of the papers; each is printed once.
        paper: None for the shop's.
        place: where the application is reached, for the codes on the tickets.

    Raises:
        NotFoundError: if there is no such order, where that is found at once.
        NoPlanError: if an order has no plan, likewise.
    """
    orders = list(dict.fromkeys(numbers))

    def drawn(tick: Tick) -> bytes:
        tick(0, len(orders))
        with database.reading() as session:
            rows = [found(session, number) for number in orders]
            shop, _ = shop_of(session)
        links = [(row, f"{place}/orders/{row.order.number}") for row in rows]
        size = paper or Paper(shop.paper)
        return paperwork.work_tickets(links, shop, size, lambda done: tick(done, len(orders)))

    with database.writing() as session:
        print_id = errands.enter(session, Lane.PRINTS)
    errands.begin(print_id, Lane.PRINTS, drawn)
    return print_id


def _print(session: Session, print_id: int) -> Errand:
    row = session.get(Errand, print_id)
    if row is None or row.lane != Lane.PRINTS:
        raise NotFoundError(_GONE)
    return row


def print_out(database: Database, errands: Errands, print_id: int) -> PrintOut:
    """Return how far a print is.

    Raises:
        NotFoundError: if there is none of that number, or no longer.
    """
    with database.reading() as session:
        _print(session, print_id)
        now = errands.progress(session, print_id)
    return PrintOut(id=print_id, done=now.done, whole=now.whole, over=now.over, wrong=now.wrong)


def printed(database: Database, print_id: int) -> bytes:
    """Return a print that is over.

    Raises:
        NotFoundError: if there is none of that number, or no longer, or it is not over.
    """
    with database.reading() as session:
        made = _print(session, print_id).made
    if made is None:
        raise NotFoundError("Those tickets are not all drawn yet. Look again in a moment.")
    return made
