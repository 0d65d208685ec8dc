"""Buyers and their dogs, remembered from order to order."""

from sqlmodel import Session, col, select

from service.bodies import OrderIn
from service.models import Buyer, Dog


def buyer_of(session: Session, asked: OrderIn, *, known: bool = True) -> Buyer:
    """Return the buyer, known by name and e-mail, with the latest address.

    Args:
        session: of the request.
        asked: the order.
        known: whether whoever asks may be one that is remembered; a stranger may not, who could
            write anybody's name.
    """
    query = select(Buyer).where(
        col(Buyer.name) == asked.buyer.name,
        col(Buyer.email) == asked.buyer.email,
        col(Buyer.erased_at).is_(None),
    )
    found = session.exec(query.limit(1)).first() if known else None
    buyer = found or Buyer(name=asked.buyer.name)
    for name, value in asked.buyer.model_dump().items():
        if value:
            setattr(buyer, name, value)
    session.add(buyer)
    session.flush()
    return buyer


def dog_of(session: Session, buyer: Buyer, asked: OrderIn) -> Dog:
    """Return the buyer's dog of that name, remembered with its latest numbers."""
    query = select(Dog).where(col(Dog.buyer_id) == buyer.id, col(Dog.name) == asked.dog.name)
    dog = session.exec(query.limit(1)).first()
    if dog is None:
        dog = Dog(buyer_id=buyer.id or 0, name=asked.dog.name, details={}, measurements={})
    dog.details = asked.dog.model_dump(mode="json")
    dog.measurements = {
        **asked.measurements.model_dump(exclude_none=True),
        "unit": asked.unit.value,
    }
    session.add(dog)
    session.flush()
    return dog
