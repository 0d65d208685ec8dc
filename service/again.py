"""Another hood for somebody known: whom the maker means, and what their last order said."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Any, Final

from sqlalchemy import select as sa_select
from sqlmodel import Session, col, select

from service.bodies import BuyerIn, OrderIn
from service.errors import NotFoundError
from service.lookup import found_by
from service.models import Buyer, Dog, Order, OrderEvent
from service.orders import order_by_number
from service.planbodies import Out
from sizing.dogs import Risk
from sizing.fit import Taken

OLD: Final = timedelta(days=365)
"""Lengths older than this are asked for again: a coat, a weight and a neck change in a year."""
MOST: Final = 20


class Reminder(StrEnum):
    """Why a dog is measured again before its next hood."""

    NONE = ""
    GROWING = "growing"
    OLD = "old"


class Known(Out):
    """A dog that has had an order, its buyer, and the number of its latest order."""

    number: str
    dog: str
    breed: str
    buyer: str
    buyer_id: int


@dataclass(frozen=True, slots=True)
class Again:
    """What the next order of a dog begins with.

    Attributes:
        asked: the latest order without its day, notes and accepted stops.
        measured: when its lengths were first told.
        reminder: why to measure again.
    """

    asked: OrderIn
    measured: datetime
    reminder: Reminder


def known_dogs(session: Session, words: str, most: int = MOST) -> list[Known]:
    """Return the dogs whose latest order holds all of some words, the newest first."""
    if not words.strip():
        return []
    order: Any = Order
    query = sa_select(
        order.dog_id, order.number, order.dog_name, order.breed, order.buyer_name, order.buyer_id
    ).join(Buyer, col(Buyer.id) == order.buyer_id)
    query = query.where(col(Buyer.erased_at).is_(None), *found_by(words))
    found: dict[int, Known] = {}
    for dog_id, number, dog, breed, buyer, buyer_id in session.execute(
        query.order_by(order.id.desc()).limit(most * 10)
    ):
        if dog_id not in found and len(found) < most:
            found[dog_id] = Known(
                number=number, dog=dog, breed=breed, buyer=buyer, buyer_id=buyer_id
            )
    return list(found.values())


def _as_told(row: Buyer) -> BuyerIn:
    return BuyerIn(name=row.name, email=row.email, phone=row.phone, address=row.address)


def known_buyer(session: Session, buyer_id: int) -> BuyerIn:
    """Return a buyer as an order tells them.

    Raises:
        NotFoundError: if there is none of that number.
    """
    row = session.get(Buyer, buyer_id)
    if row is None:
        raise NotFoundError("That buyer is not known here. Type the name instead.")
    return _as_told(row)


def _told_at(session: Session, order: Order) -> datetime:
    """Return when an order's lengths were told: as it was taken, or at their latest change."""
    query = select(OrderEvent).where(col(OrderEvent.order_id) == order.id)
    events = session.exec(query.order_by(col(OrderEvent.id).desc()))
    changed = (one.at for one in events if one.kind == "changed" and "measurements" in one.change)
    return next(changed, order.created_at)


def _measured(session: Session, order: Order) -> datetime:
    """Return when a dog's lengths were first told: a repeated order does not make them newer."""
    query = select(Order).where(col(Order.dog_id) == order.dog_id).order_by(col(Order.id).desc())
    told = order.asked["measurements"], order.asked["unit"]
    first = _told_at(session, order)
    for one in session.exec(query.where(col(Order.id) < order.id)):
        if (one.asked["measurements"], one.asked["unit"]) != told:
            break
        first = _told_at(session, one)
    return first


def again(session: Session, number: str, now: datetime) -> Again:
    """Return what another hood for the dog of an order begins with.

    Raises:
        NotFoundError: if there is no such order.
    """
    order = order_by_number(session, number)
    fresh: dict[str, Any] = {
        "due": None,
        "notes": "",
        "accepted": [],
        "from_fittings": Taken.LOOSER,
    }
    if (before := order.asked.get("made_before")) is not None:
        fresh["made_before"] = before + 1
    asked = OrderIn.model_validate({**order.asked, **fresh})
    buyer, dog = session.get_one(Buyer, order.buyer_id), session.get_one(Dog, order.dog_id)
    if buyer.name == asked.buyer.name and dog.name == asked.dog.name:
        asked = asked.model_copy(update={"buyer": _as_told(buyer)})
    measured = _measured(session, order)
    return Again(asked, measured, _reminder(asked, measured, now))


def _reminder(asked: OrderIn, measured: datetime, now: datetime) -> Reminder:
    if Risk.PUPPY in asked.dog.risks:
        return Reminder.GROWING
    return Reminder.OLD if now - measured > OLD else Reminder.NONE
