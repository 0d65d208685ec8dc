"""Enquiries of strangers: all that was typed is kept, and an order is made of it where it can be.

A stranger's words never change what is known of anybody: the buyer is always a new one.
"""

import re
from collections.abc import Mapping
from contextlib import suppress
from datetime import datetime
from typing import Any, Final

from pydantic import ValidationError
from sqlalchemy import bindparam
from sqlmodel import Session, col, select

from service.bodies import BuyerIn, DogIn, MeasurementsIn, OrderIn, YarnIn
from service.errors import NotAllowedError, NotFoundError, ServiceError
from service.lookup import forget_words
from service.models import (
    Buyer,
    Delivery,
    Dog,
    Enquiry,
    Order,
    OrderEvent,
    Outcome,
    OwnerLink,
    RememberedKey,
)
from service.orders import take_order
from service.owner.asking import write_down
from service.owner.readings import Told, tidy, told_of
from service.shelf import choices, shelf
from service.shop import shop_of
from service.states import State
from sizing.dogs import Field
from sizing.errors import SizingError
from sizing.units import LengthUnit
from sizing.yarns import Fibre

TEXTS: Final = {"name": 200, "email": 254, "dog": 200, "breed": 200, "weight": 200, "wish": 2000}
"""The texts of the form, and how long each may be."""
LENGTHS: Final = tuple(f"{field.value}.1" for field in Field)
LONGEST_LENGTH: Final = 200
MOST: Final = 500
NAMES: Final = (*TEXTS, *LENGTHS, "unit", "language")
_ADDRESS: Final = re.compile(r"[^@\s]+@[^@\s]+\.[^@\s.]+")
_NO_YARN: Final = YarnIn.model_validate(
    {
        "name": "Yarn still to be chosen",
        "fibres": [{"fibre": Fibre.ACRYLIC, "percent": 100}],
        "ball_metres": 200,
        "ball_grams": 100,
    }
)
"""Stands in an order of an empty shelf until the maker chooses one."""


def typed(values: Mapping[str, str]) -> dict[str, str]:
    """Return what a stranger typed, tidied; the wish alone may have more than one line."""
    texts = {name: tidy(values.get(name, "")) for name in NAMES}
    return {n: text if n == "wish" else " ".join(text.split()) for n, text in texts.items()}


def lacking(told: Mapping[str, str]) -> dict[str, bool]:
    """Return the fields without which nothing can be answered: whether each is too long, or not.

    Everything else that is odd is asked back once, and then taken as it is.
    """
    longest = {**TEXTS, **dict.fromkeys(LENGTHS, LONGEST_LENGTH)}
    wrong = {name: True for name, most in longest.items() if len(told[name]) > most}
    if not told["name"]:
        wrong["name"] = False
    if "email" not in wrong and not _ADDRESS.fullmatch(told["email"]):
        wrong["email"] = False
    return wrong


def dog_told(told: Mapping[str, str]) -> DogIn:
    """Return the dog as far as it is told; its weight is read apart."""
    return DogIn(name=told["dog"][:200], breed=told["breed"][:200])


def numbers_told(told: Mapping[str, str]) -> Told:
    """Return the numbers of an enquiry, read as far as they can be."""
    return told_of({**told, "note": ""}, dog_told(told))


def order_told(session: Session, told: Mapping[str, str]) -> OrderIn | None:
    """Return the order that an enquiry makes, or None while a length cannot be read."""
    numbers = numbers_told(told)
    lengths = {field.value: numbers.lengths[field.value].readings[0] for field in Field}
    if any(one.mm is None for one in lengths.values()):
        return None
    yarns = list(choices(shelf(session)).values())
    weight, notes = numbers.weight, told["wish"]
    if numbers.weight_wrong:
        weight, notes = "", f"{notes}\nWeight, as written: {told['weight']}".strip()
    return OrderIn(
        buyer=BuyerIn(name=told["name"], email=told["email"]),
        dog=dog_told(told).model_copy(update={"weight": weight}),
        measurements=MeasurementsIn(**{name: one.plain for name, one in lengths.items()}),
        unit=numbers.unit,
        yarn=yarns[0] if yarns else _NO_YARN,
        terms=shop_of(session)[0].terms,
        notes=notes[:2000],
        language=told["language"],
    )


def keep(session: Session, told: dict[str, str], key: str, now: datetime) -> Enquiry:
    """Keep an enquiry, with the order that it makes; the same form twice is one enquiry.

    Args:
        session: of the request.
        told: what is typed, with nothing lacking.
        key: of the form.
        now: this moment.
    """
    known = session.exec(select(Enquiry).where(col(Enquiry.key) == key)).first()
    if known:
        return known
    row = Enquiry(key=key, told=told, at=now)
    # Whatever the plan says of the numbers, the enquiry itself is kept.
    with suppress(ServiceError, SizingError, ValidationError), session.begin_nested():
        asked = order_told(session, told)
        if asked:
            order = take_order(session, asked, now, known=False)
            row.order_id = order.id
            write_down(session, order.id or 0, now, "it came from a stranger")
    session.add(row)
    session.flush()
    return row


def unseen(session: Session) -> list[Enquiry]:
    """Return the enquiries that nobody has looked at, the newest first, up to `MOST`."""
    query = select(Enquiry).where(col(Enquiry.looked_at).is_(None))
    return list(session.exec(query.order_by(col(Enquiry.id).desc()).limit(MOST)))


def enquiry(session: Session, enquiry_id: int) -> Enquiry:
    """Return an enquiry.

    Raises:
        NotFoundError: if there is none of that number.
    """
    row = session.get(Enquiry, enquiry_id)
    if row is None:
        raise NotFoundError("There is no such enquiry. Look in the list of enquiries.")
    return row


# Built once: each page of an order asks it.
_OF_ORDER: Final = select(Enquiry).where(col(Enquiry.order_id) == bindparam("order"))


def enquiry_of(session: Session, order: Order) -> Enquiry | None:
    """Return the enquiry that an order came from, or None."""
    return session.exec(_OF_ORDER, params={"order": order.id}).first()


def looked(session: Session, enquiry_id: int, now: datetime) -> Enquiry:
    """Note that the maker has looked at an enquiry; a second time changes nothing."""
    row = enquiry(session, enquiry_id)
    if row.looked_at is None:
        row.looked_at = now
        session.add(row)
        session.flush()
    return row


def adopt(session: Session, enquiry_id: int, order: Order, now: datetime) -> None:
    """Tie an enquiry to the order that the maker took of it, unless it has one."""
    row = session.get(Enquiry, enquiry_id)
    if row and row.order_id is None:
        row.order_id = order.id
        looked(session, enquiry_id, now)
        session.add(row)
        session.flush()


_TIED: Final[tuple[tuple[type[Any], str], ...]] = (
    (Delivery, "order_id"),
    (Outcome, "order_id"),
    (OwnerLink, "order_id"),
    (RememberedKey, "order_id"),
)


def _is_bare(session: Session, order: Order) -> bool:
    """Return whether nothing but its history hangs on an order."""
    tied = (
        session.exec(select(kind).where(col(getattr(kind, name)) == order.id).limit(1)).first()
        for kind, name in _TIED
    )
    return order.version == 1 and order.state == State.ENQUIRY and not any(tied)


def discard(session: Session, enquiry_id: int) -> None:
    """Delete an enquiry and all it made, as whoever sent it may ask for.

    Raises:
        NotFoundError: if there is none of that number.
        NotAllowedError: if the maker has worked on its order: that one is cancelled instead.
    """
    row = enquiry(session, enquiry_id)
    order = session.get(Order, row.order_id, with_for_update=True) if row.order_id else None
    if order and not _is_bare(session, order):
        raise NotAllowedError("You have worked on this order already. Cancel it instead.")
    session.delete(row)
    session.flush()
    if order is None:
        return
    for event in session.exec(select(OrderEvent).where(col(OrderEvent.order_id) == order.id)):
        session.delete(event)
    forget_words(session, order)
    session.flush()
    session.delete(order)
    session.flush()
    _forget(session, order)


def _forget(session: Session, order: Order) -> None:
    """Delete the dog and the buyer of an order that is gone, unless another order is theirs."""
    for kind, column, key in (
        (Dog, Order.dog_id, order.dog_id),
        (Buyer, Order.buyer_id, order.buyer_id),
    ):
        other = session.exec(select(Order).where(col(column) == key).limit(1)).first()
        row = session.get(kind, key)
        if row and not other:
            session.delete(row)
            session.flush()


def fields_typed(session: Session, enquiry_id: int) -> dict[str, tuple[str, ...]]:
    """Return what a stranger typed as the fields of the maker's form for an order.

    Raises:
        NotFoundError: if there is no such enquiry.
    """
    told = enquiry(session, enquiry_id).told
    lengths = numbers_told(told).lengths
    fields = {
        "buyer.name": told["name"],
        "buyer.email": told["email"],
        "dog.name": told["dog"],
        "dog.breed": told["breed"],
        "dog.weight": told["weight"],
        "notes": told["wish"],
        "unit": unit_of(told),
        "enquiry": str(enquiry_id),
        **{f"measurements.{f.value}": lengths[f.value].readings[0].plain for f in Field},
    }
    return {name: (text,) for name, text in fields.items() if text}


def unit_of(told: Mapping[str, str]) -> str:
    """Return the unit that is chosen, or centimetres."""
    return told["unit"] if told["unit"] in set(LengthUnit) else LengthUnit.CM.value
