"""Buyers and what is theirs."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from sqlalchemy import ColumnElement, func
from sqlmodel import Session, col, select

from service.errors import NotFoundError
from service.models import Buyer, Dog, Enquiry, Order
from service.states import State

PAGE: Final = 50
CLOSED: Final = (State.HANDED_OVER.value, State.CANCELLED.value)


@dataclass(frozen=True, slots=True)
class Person:
    """A buyer, with all rows under the same e-mail: strangers' enquiries make rows of their own.

    Attributes:
        first: the row that was asked for.
        buyers: all of them.
        dogs, orders, enquiries: theirs.
    """

    first: Buyer
    buyers: tuple[Buyer, ...]
    dogs: tuple[Dog, ...]
    orders: tuple[Order, ...]
    enquiries: tuple[Enquiry, ...]

    @property
    def open(self) -> tuple[Order, ...]:
        """Return the orders that are neither handed over nor cancelled."""
        return tuple(one for one in self.orders if one.state not in CLOSED)


def buyer_of(session: Session, buyer_id: int, *, lock: bool = False) -> Buyer:
    """Return a buyer.

    Raises:
        NotFoundError: if there is none of that number.
    """
    row = session.get(Buyer, buyer_id, with_for_update=lock, populate_existing=lock)
    if row is None:
        raise NotFoundError("There is no such buyer. Look in the list of buyers.")
    return row


def _same(row: Buyer) -> ColumnElement[bool]:
    if not row.email:
        return col(Buyer.id) == row.id
    return func.lower(col(Buyer.email)) == row.email.lower()


def _enquiries(session: Session, orders: list[int], emails: set[str]) -> list[Enquiry]:
    """Return the enquiries that made some orders, or came from some addresses."""
    made = select(Enquiry).where(col(Enquiry.order_id).in_(orders))
    found = {row.id: row for row in session.exec(made)}
    if emails:
        for row in session.exec(select(Enquiry)):
            if str(row.told.get("email", "")).lower() in emails:
                found[row.id] = row
    return list(found.values())


def person_of(session: Session, buyer_id: int, *, lock: bool = False) -> Person:
    """Return a buyer with all that is theirs.

    Raises:
        NotFoundError: if there is none of that number.
    """
    first = buyer_of(session, buyer_id, lock=lock)
    query = select(Buyer).where(_same(first)).order_by(col(Buyer.id))
    buyers = list(session.exec(query.with_for_update() if lock else query))
    ids = [row.id for row in buyers]
    orders_query = select(Order).where(col(Order.buyer_id).in_(ids)).order_by(col(Order.id))
    orders = list(session.exec(orders_query.with_for_update() if lock else orders_query))
    # A dog may have had an order under another buyer since: then it is not only theirs.
    dogs = session.exec(select(Dog).where(col(Dog.buyer_id).in_(ids)).order_by(col(Dog.id)))
    emails = {row.email.lower() for row in buyers if row.email}
    enquiries = _enquiries(session, [order.id or 0 for order in orders], emails)
    return Person(first, tuple(buyers), tuple(dogs), tuple(orders), tuple(enquiries))


@dataclass(frozen=True, slots=True)
class BuyerLine:
    """A buyer in the list: how many orders, and when the latest was changed."""

    row: Buyer
    orders: int
    latest: datetime | None


def buyers_like(
    session: Session, words: str = "", after_id: int = 0, most: int = PAGE
) -> tuple[list[BuyerLine], int | None]:
    """Return buyers by number, and the id to go on from, or None at the end."""
    latest = func.max(col(Order.changed_at)).label("latest")
    query = (
        select(Buyer, func.count(col(Order.id)), latest)
        .join(Order, col(Order.buyer_id) == col(Buyer.id), isouter=True)
        .where(col(Buyer.id) > after_id)
        .group_by(*Buyer.__table__.columns)  # type: ignore[attr-defined]
        .order_by(col(Buyer.id))
    )
    for word in words.replace("\0", " ").split()[:10]:
        text = func.lower(col(Buyer.name) + " " + col(Buyer.email))
        query = query.where(text.contains(word.lower(), autoescape=True))
    rows = [BuyerLine(*row) for row in session.exec(query.limit(most + 1))]
    more = rows[most - 1].row.id if len(rows) > most else None
    return rows[:most], more
