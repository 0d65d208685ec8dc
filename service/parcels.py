"""Which hoods are sent in one parcel, so that each of them waits for the last."""

from dataclasses import dataclass
from typing import Final

from sqlmodel import Session

from service.errors import NotFoundError
from service.models import Order
from service.orders import order_by_number
from service.promise import Work
from service.queue import QUEUED, Queue, work_of
from service.sets import set_of
from service.states import OPEN


@dataclass(frozen=True, slots=True)
class Company:
    """What a hood is sent with, as far as it is still to be made.

    Attributes:
        parcel: what the hoods of one parcel share.
        dogs: whose hoods the others are; the order's number where a dog has no name.
        along: the work of those that are not in the queue yet.
    """

    parcel: str = ""
    dogs: tuple[str, ...] = ()
    along: tuple[Work, ...] = ()


ALONE: Final = Company()


def _company(every: list[Order], but: Order | None) -> Company:
    parcel = str(every[0].id)
    others = [one for one in every if one is not but and one.state in OPEN]
    works = (work_of(one, parcel) for one in others if one.state not in QUEUED)
    dogs = tuple(one.dog_name or one.number for one in others)
    return Company(parcel, dogs, tuple(one for one in works if one))


def company_of(session: Session, order: Order) -> Company:
    """Return what an order goes together with."""
    return _company(set_of(session, order), order)


def company_beside(session: Session, number: str) -> Company:
    """Return what a new order goes together with beside another one, if there is that one."""
    try:
        return _company(set_of(session, order_by_number(session, number)), None)
    except NotFoundError:
        return ALONE


def parcels(known: Queue) -> dict[str, tuple[str, ...]]:
    """Return the dogs that a hood of the queue is sent with, by its order's number."""
    sent: dict[str, list[str]] = {}
    for one in known.works:
        sent.setdefault(one.parcel, []).append(one.key)
    return {
        one.key: tuple(known.dogs[key] or key for key in sent[one.parcel] if key != one.key)
        for one in known.works
    }
