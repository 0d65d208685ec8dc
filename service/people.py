"""Buyers and their dogs, remembered from order to order."""

from typing import Any, Final

from sqlalchemy import bindparam
from sqlmodel import Session, SQLModel, col, select

from service.bodies import OrderIn
from service.models import Buyer, Dog

# Built once, as the next: every order asks them.
_BUYER: Final = (
    select(Buyer)
    .where(
        col(Buyer.name) == bindparam("name"),
        col(Buyer.email) == bindparam("email"),
        col(Buyer.erased_at).is_(None),
    )
    .limit(1)
)
_DOG: Final = (
    select(Dog)
    .where(col(Dog.buyer_id) == bindparam("buyer"), col(Dog.name) == bindparam("name"))
    .limit(1)
)


def _remember(session: Session, row: SQLModel, latest: dict[str, Any]) -> None:
    """Put the latest values into a row; one that has them all already is left alone."""
    for name, value in latest.items():
        if getattr(row, name) != value:
            setattr(row, name, value)
    session.add(row)
    if session.is_modified(row):
        session.flush()


def buyer_of(session: Session, asked: OrderIn, *, known: bool = True) -> Buyer:
    """Return the buyer, known by name and e-mail, with the latest address.

    Args:
        session: of the request.
        asked: the order.
        known: whether whoever asks may be one that is remembered; a stranger may not, who could
            write anybody's name.
    """
    given = {"name": asked.buyer.name, "email": asked.buyer.email}
    found = session.exec(_BUYER, params=given).first() if known else None
    buyer = found or Buyer(name=asked.buyer.name)
    told = {name: value for name, value in asked.buyer.model_dump().items() if value}
    _remember(session, buyer, told)
    return buyer


def dog_of(session: Session, buyer: Buyer, asked: OrderIn) -> Dog:
    """Return the buyer's dog of that name, remembered with its latest numbers."""
    given = {"buyer": buyer.id, "name": asked.dog.name}
    dog = session.exec(_DOG, params=given).first()
    if dog is None:
        dog = Dog(buyer_id=buyer.id or 0, name=asked.dog.name, details={}, measurements={})
    lengths = asked.measurements.model_dump(exclude_none=True)
    latest = {
        "details": asked.dog.model_dump(mode="json"),
        "measurements": {**lengths, "unit": asked.unit.value},
    }
    _remember(session, dog, latest)
    return dog
