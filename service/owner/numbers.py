"""The numbers an owner sent: kept beside the order, and taken over or declined by the maker."""

from datetime import datetime
from typing import Any, Final

from sqlalchemy import bindparam
from sqlmodel import Session, col, select

from service.bodies import OrderIn
from service.errors import NotAllowedError, NotFoundError, StaleError
from service.models import Order, OwnerNumbers
from service.orders import change_order, order_by_number, order_to_change
from service.owner.asking import DECLINED, TAKEN, WAITING, Asked, asked_of, write_down
from service.owner.readings import Told, told_of, typed_again


def send(session: Session, secret: str, told: Told, now: datetime) -> Asked:
    """Keep what an owner measured beside the order; sent again, it takes the place of the first.

    Raises:
        NotFoundError: if the link opens nothing.
        NotAllowedError: if the maker has taken the numbers over, or the hood is being made.
    """
    asked = asked_of(session, secret, now, lock=True)
    if not asked.open:
        raise NotAllowedError("The numbers of this link are in use already.")
    row = asked.sent or OwnerNumbers(
        link_id=asked.link.id or 0,
        order_id=asked.link.order_id,
        told={},
        state="",
        version=0,
        sent_at=now,
    )
    if row.state != WAITING:  # a correction of what waits is no second event
        write_down(session, row.order_id, now, "the owner has measured")
    row.told = told.kept()
    row.state = WAITING
    row.version += 1
    row.sent_at = now
    row.settled_at = None
    session.add(row)
    session.flush()
    return asked_of(session, secret, now)


# Built once: each page of an order asks it.
_NUMBERS: Final = (
    select(OwnerNumbers)
    .where(col(OwnerNumbers.order_id) == bindparam("order"))
    .order_by(col(OwnerNumbers.id).desc())
)


def numbers_of(session: Session, order: Order) -> list[OwnerNumbers]:
    """Return all that was sent for an order, the newest first."""
    return list(session.exec(_NUMBERS, params={"order": order.id}))


def _settled(
    session: Session, order: Order, numbers_id: int, seen: int, state: str, now: datetime
) -> OwnerNumbers:
    row = session.get(OwnerNumbers, numbers_id, with_for_update=True)
    if row is None or row.order_id != order.id:
        raise NotFoundError("The order has no such numbers.")
    if row.version != seen:
        message = "The owner has corrected the numbers meanwhile. Look at them again."
        raise StaleError(message)
    if row.state != WAITING:
        raise NotAllowedError(f"These numbers are {row.state} already.")
    row.state = state
    row.settled_at = now
    session.add(row)
    return row


def patch_of(row: OwnerNumbers) -> dict[str, Any]:
    """Return the change of an order that numbers make."""
    patch: dict[str, Any] = {"measurements": row.told["taken"]}
    return patch | ({"dog": {"weight": row.told["weight"]}} if row.told["weight"] else {})


def take_over(
    session: Session, number: str, numbers_id: int, seen: int, version: int | None, now: datetime
) -> Order:
    """Make the owner's numbers the order's own: a change like any other, with its history.

    Args:
        session: of the request.
        number: of the order.
        numbers_id: which numbers.
        seen: the version of the numbers that the maker looked at.
        version: the version of the order that the maker looked at.
        now: this moment.

    Raises:
        NotFoundError, MissingVersionError, StaleError: as their names say.
        NotAllowedError: if they are settled already, or the hood is on the hook.
        UnreadableError, ValueOutOfRangeError: if the order cannot be made with them.
    """
    order = order_to_change(session, number, version)
    row = _settled(session, order, numbers_id, seen, TAKEN, now)
    write_down(session, row.order_id, now, "the owner's numbers were taken over")
    return change_order(session, number, patch_of(row), version, now)


def decline(session: Session, number: str, numbers_id: int, seen: int, now: datetime) -> None:
    """Leave the order as it is; the owner may still measure once more.

    Raises:
        NotFoundError, StaleError: as their names say.
        NotAllowedError: if they are settled already.
    """
    order = order_by_number(session, number)
    row = _settled(session, order, numbers_id, seen, DECLINED, now)
    write_down(session, row.order_id, now, "the owner's numbers were declined")
    session.flush()


def told_again(row: OwnerNumbers, asked: OrderIn) -> Told:
    """Return what was sent, read again."""
    return told_of(typed_again(row.told), asked.dog, asked.unit)
