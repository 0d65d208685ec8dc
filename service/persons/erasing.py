"""A buyer erased: all that tells of the person goes, the figures of the orders stay.

What stays of an order: its number, days, state, what was made of which yarn, the dog's lengths,
the plan with its price, what was paid and billed, and the bare steps of its history.
"""

from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from typing import Any, Final

from sqlalchemy import update
from sqlmodel import Session, SQLModel, col, delete, select

from documents.figures import date_text
from service.errands import forget_made
from service.errors import NotAllowedError
from service.given import DeliveryState
from service.lookup import keep_words
from service.models import (
    Bill,
    Buyer,
    Confirmation,
    Delivery,
    Enquiry,
    OrderDraft,
    OrderEvent,
    Outcome,
    OwnerLink,
    OwnerNumbers,
    PaperCopy,
    Payment,
    RememberedKey,
)
from service.persons.buyers import Person, person_of
from sizing.breeds import find

NAME: Final = "Erased buyer"
STEPS: Final = frozenset({"moved", "paid", "billed", "erased"})
"""What stays of a history: that it happened and when, without notes."""
REASON: Final = "erased"


@dataclass(frozen=True, slots=True)
class Erased:
    """What was erased: the orders' numbers, and the mails that may lie about as files."""

    orders: tuple[str, ...]
    mails: frozenset[str]


def _refuse_open(session: Session, person: Person, now: datetime) -> None:
    if person.open:
        named = ", ".join(f"{one.number} ({one.state})" for one in person.open[:5])
        reason = f"Hand these orders over or cancel them first: {named}."
        raise NotAllowedError(reason)
    ids = [order.id for order in person.orders]
    query = select(Delivery).where(
        col(Delivery.order_id).in_(ids), col(Delivery.claimed_until) > now
    )
    if any(row.state == DeliveryState.WAITING for row in session.exec(query)):
        raise NotAllowedError("A mail is just being sent. Wait a minute, then again.")


def _asked(old: dict[str, Any], buyer: Buyer) -> dict[str, Any]:
    """Return what an order asked for, without whom, and without words in which anybody may be."""
    breed = find(old["dog"]["breed"])
    dog = {**old["dog"], "name": "", "breed": breed.name if breed else ""}
    stops = [{**one, "reason": REASON} for one in old.get("accepted", [])]
    nobody = {"name": buyer.name, "email": "", "phone": "", "address": ""}
    return {**old, "buyer": nobody, "dog": dog, "accepted": stops, "notes": ""}


def _plan(old: dict[str, Any] | None) -> dict[str, Any] | None:
    """Return a plan without what was said of the dog's numbers: there the breed was quoted."""
    return {**old, "findings": []} if old else None


def _orders(session: Session, person: Person, now: datetime) -> None:
    names = {row.id: row for row in person.buyers}
    for order in person.orders:
        order.asked = _asked(order.asked, names[order.buyer_id])
        order.plan = _plan(order.plan)
        order.findings = []
        order.buyer_name, order.dog_name = order.asked["buyer"]["name"], ""
        order.breed = order.asked["dog"]["breed"]
        order.version += 1
        session.add(order)
        session.flush()
        keep_words(session, order)
        said = f"The buyer's personal data were erased on {date_text(now.date())}."
        session.add(
            OrderEvent(order_id=order.id or 0, at=now, kind="erased", change={"said": said})
        )


def _history(session: Session, ids: list[int]) -> None:
    of_orders = col(OrderEvent.order_id).in_(ids)
    session.exec(delete(OrderEvent).where(of_orders, col(OrderEvent.kind).not_in(STEPS)))
    session.exec(update(OrderEvent).where(of_orders).values(note=""))


def _papers(session: Session, ids: list[int], now: datetime) -> None:
    """Put a note in the place of each kept paper; that there was one, and when, stays."""
    day = date_text(now.date())
    query = select(col(Bill.paper_id), col(Bill.number)).where(col(Bill.order_id).in_(ids))
    numbers = {paper: number for paper, number in session.exec(query)}  # noqa: C416 - rows of two
    for paper in session.exec(select(PaperCopy).where(col(PaperCopy.order_id).in_(ids))):
        number = numbers.get(paper.id or 0, f"paper {paper.id}")
        content = (
            f"{paper.kind} {number}\nThis paper was erased on {day} with the buyer's personal"
            " data. What was billed and paid stands with the order.\n"
        ).encode()
        paper.content, paper.sha256 = content, sha256(content).hexdigest()
        paper.media, paper.name = "text/plain; charset=utf-8", f"erased-{paper.id}.txt"
        session.add(paper)


def _mails(session: Session, ids: list[int], now: datetime) -> frozenset[str]:
    """Empty the mails; return by what those are known that were written to files."""
    known = set()
    for row in session.exec(select(Delivery).where(col(Delivery.order_id).in_(ids))):
        if row.message_id:
            known.add(row.message_id)
        if row.state == DeliveryState.WAITING:
            row.state, row.done_at = DeliveryState.FAILED.value, now
        row.to_name = row.to_address = row.subject = row.text = row.html = row.mark = ""
        row.how = row.reason = ""
        row.message_id = row.key = None
        session.add(row)
        session.exec(delete(Confirmation).where(col(Confirmation.delivery_id) == row.id))
    return frozenset(known)


def _outcomes(session: Session, ids: list[int]) -> None:
    for row in session.exec(select(Outcome).where(col(Outcome.order_id).in_(ids))):
        row.told = {name: value for name, value in row.told.items() if name != "note"}
        session.add(row)


_GONE: Final[tuple[type[SQLModel], ...]] = (OwnerNumbers, OwnerLink, RememberedKey)
"""What of an order goes whole."""


def _beside(session: Session, person: Person, ids: list[int]) -> None:
    for kind in _GONE:
        session.exec(delete(kind).where(col(kind.order_id).in_(ids)))  # type: ignore[attr-defined]
    session.exec(update(Payment).where(col(Payment.order_id).in_(ids)).values(note=""))
    theirs = [row.id for row in person.enquiries]
    session.exec(delete(Enquiry).where(col(Enquiry.id).in_(theirs)))
    forget_made(session)
    drafts = [row.id for row in session.exec(select(OrderDraft)) if _is_theirs(row, person)]
    session.exec(delete(OrderDraft).where(col(OrderDraft.id).in_(drafts)))


def _is_theirs(draft: OrderDraft, person: Person) -> bool:
    def typed(name: str) -> str:
        return str((draft.typed.get(name) or [""])[-1]).strip().lower()

    email, name = typed("buyer.email"), typed("buyer.name")
    if email:
        return email in {row.email.lower() for row in person.buyers}
    return name != "" and name in {row.name.lower() for row in person.buyers}


def erase(session: Session, buyer_id: int, now: datetime) -> Erased:
    """Erase a buyer, with the rows of the same e-mail; what is erased already stays so.

    Raises:
        NotFoundError: if there is no such buyer.
        NotAllowedError: if an order of theirs is still open, or a mail is just being sent.
    """
    person = person_of(session, buyer_id, lock=True)
    if person.first.erased_at:
        return Erased((), frozenset())
    _refuse_open(session, person, now)
    ids = [order.id or 0 for order in person.orders]
    _beside(session, person, ids)
    mails = _mails(session, ids, now)
    _papers(session, ids, now)
    _outcomes(session, ids)
    _history(session, ids)
    for buyer in person.buyers:
        buyer.name, buyer.erased_at = f"{NAME} {buyer.id}", now
        buyer.email = buyer.phone = buyer.address = ""
        session.add(buyer)
    for dog in person.dogs:
        dog.name, dog.details, dog.measurements = "", {}, {}
        session.add(dog)
    _orders(session, person, now)
    session.flush()
    return Erased(tuple(order.number for order in person.orders), mails)
