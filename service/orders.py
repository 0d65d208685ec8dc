"""The use cases of an order: take it, find it, change it, move it on.

Each takes a session, flushes, and never commits: the request is the transaction.
"""

import hashlib
import json
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any, Final

from pydantic import ValidationError
from sqlalchemy import update
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, col, select

from service.bodies import OrderIn, RatesIn, merged
from service.errors import (
    KeyReusedError,
    MissingVersionError,
    NotFoundError,
    StaleError,
    UnreadableError,
)
from service.models import Buyer, Counter, Dog, Order, OrderEvent, RememberedKey
from service.planning import kept_findings, kept_plan, request_of
from service.shop import shop_of
from service.states import State, check_editable, check_move
from sizing.checks import Finding, check
from sizing.plan import ENGINE, Plan, Request, blocking, make_plan

Clock = Callable[[], datetime]
PAGE: Final = 50


@dataclass(frozen=True, slots=True)
class Found:
    """An order with the people and the history that belong to it."""

    order: Order
    buyer: Buyer
    dog: Dog
    events: tuple[OrderEvent, ...]


def fingerprint(asked: OrderIn) -> str:
    """Return a digest by which a repeated order is known as the same."""
    text = json.dumps(asked.model_dump(mode="json"), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _next_number(session: Session, year: int) -> str:
    """Return the next order number of a year; the counter's row is locked by its update."""
    name = f"orders {year}"
    bump = update(Counter).where(col(Counter.name) == name).values(value=Counter.value + 1)
    bump = bump.returning(col(Counter.value))
    value = session.execute(bump).scalar_one_or_none()
    if value is None:
        with suppress(IntegrityError), session.begin_nested():
            session.add(Counter(name=name, value=0))
        value = session.execute(bump).scalar_one()
    return f"{year}-{value:04d}"


def _planned(request: Request) -> tuple[tuple[Finding, ...], Plan | None]:
    """Return the findings, and the plan unless one of them stops it."""
    findings = check(request.dog, request.measurements, request.unit)
    if blocking(findings, request.accepted):
        return findings, None
    plan = make_plan(request)
    return plan.findings, plan


def _record(
    session: Session, order: Order, now: datetime, kind: str, note: str, change: dict[str, Any]
) -> None:
    if order.id is None:
        session.flush()
    event = OrderEvent(order_id=order.id or 0, at=now, kind=kind, note=note, change=change)
    session.add(event)


def _fill(order: Order, asked: OrderIn, rates: RatesIn) -> None:
    """Put what is asked into an order and plan it anew."""
    findings, plan = _planned(request_of(asked, rates))
    order.due = asked.due
    order.asked = asked.model_dump(mode="json")
    order.rates = rates.model_dump(mode="json")
    order.findings = kept_findings(findings)
    order.plan = kept_plan(plan) if plan else None
    order.engine = ENGINE
    words = (order.number, asked.buyer.name, asked.dog.name, asked.dog.breed)
    order.search = " ".join(words).casefold()[:1000]


def _buyer(session: Session, asked: OrderIn) -> Buyer:
    """Return the buyer, known by name and e-mail, with the latest address."""
    query = select(Buyer).where(
        col(Buyer.name) == asked.buyer.name, col(Buyer.email) == asked.buyer.email
    )
    buyer = session.exec(query.limit(1)).first() or Buyer(name=asked.buyer.name)
    for name, value in asked.buyer.model_dump().items():
        if value:
            setattr(buyer, name, value)
    session.add(buyer)
    session.flush()
    return buyer


def _dog(session: Session, buyer: Buyer, asked: OrderIn) -> Dog:
    """Return the buyer's dog of that name, remembered with its latest numbers."""
    query = select(Dog).where(col(Dog.buyer_id) == buyer.id, col(Dog.name) == asked.dog.name)
    dog = session.exec(query.limit(1)).first()
    if dog is None:
        dog = Dog(buyer_id=buyer.id or 0, name=asked.dog.name, details={}, measurements={})
    dog.details = asked.dog.model_dump(mode="json")
    dog.measurements = {**asked.measurements.model_dump(), "unit": asked.unit.value}
    session.add(dog)
    session.flush()
    return dog


def remembered(session: Session, key: str, asked: OrderIn) -> Order | None:
    """Return the order that a key has made before, or None.

    Raises:
        KeyReusedError: if the key came with another order.
    """
    known = session.get(RememberedKey, key)
    if known is None:
        return None
    if known.fingerprint != fingerprint(asked):
        message = "This Idempotency-Key was used for another order. Use a new key for a new order."
        raise KeyReusedError(message)
    return session.get_one(Order, known.order_id)


def take_order(session: Session, asked: OrderIn, now: datetime, key: str | None = None) -> Order:
    """Take an order in; with a key, the same order twice is one order.

    A number that stops the plan does not lose the order: it is kept without a plan.

    Raises:
        UnreadableError: naming every field that cannot be read.
        KeyReusedError: if the key came with another order.
    """
    if key and (known := remembered(session, key, asked)):
        return known
    shop, _ = shop_of(session)
    buyer = _buyer(session, asked)
    dog = _dog(session, buyer, asked)
    order = Order(
        number=_next_number(session, now.year),
        buyer_id=buyer.id or 0,
        dog_id=dog.id or 0,
        state=State.ENQUIRY.value,
        asked={},
        rates={},
        findings=[],
        search="",
        version=1,
        created_at=now,
        changed_at=now,
    )
    _fill(order, asked, shop.rates)
    session.add(order)
    session.flush()
    _record(session, order, now, "taken", "", {"asked": order.asked})
    if key:
        remember = RememberedKey(
            key=key, fingerprint=fingerprint(asked), order_id=order.id or 0, at=now
        )
        session.add(remember)
    session.flush()
    return order


def order_by_number(session: Session, number: str) -> Order:
    """Return an order.

    Raises:
        NotFoundError: if there is none of that number.
    """
    order = session.exec(select(Order).where(col(Order.number) == number)).first()
    if order is None:
        message = f"There is no order {number[:20]}. Look in the list of orders."
        raise NotFoundError(message)
    return order


def found(session: Session, number: str) -> Found:
    """Return an order with its people and its history, oldest first."""
    order = order_by_number(session, number)
    events = session.exec(
        select(OrderEvent).where(col(OrderEvent.order_id) == order.id).order_by(col(OrderEvent.id))
    )
    return Found(
        order=order,
        buyer=session.get_one(Buyer, order.buyer_id),
        dog=session.get_one(Dog, order.dog_id),
        events=tuple(events),
    )


def _check_version(order: Order, version: int | None) -> None:
    if version is None:
        message = "Say which version you change: send its ETag in If-Match."
        raise MissingVersionError(message)
    if version != order.version:
        message = f"Order {order.number} was changed meanwhile. Load it again, then change it."
        raise StaleError(message)


def _patched(old: dict[str, Any], patch: dict[str, Any]) -> OrderIn:
    """Return the order that a merge patch makes of an old one."""
    try:
        return OrderIn.model_validate(merged(old, patch))
    except ValidationError as error:
        wrong = {".".join(map(str, e["loc"])): e["msg"] for e in error.errors()}
        said = "; ".join(f"{name}: {message}" for name, message in wrong.items())
        raise UnreadableError(said[:2000], wrong) from error


def _rates_for(session: Session, order: Order) -> RatesIn:
    """Return today's rates for an enquiry; what was quoted keeps the rates it was quoted with."""
    if order.state == State.ENQUIRY:
        return shop_of(session)[0].rates
    return RatesIn.model_validate(order.rates)


def change_order(
    session: Session, number: str, patch: dict[str, Any], version: int | None, now: datetime
) -> Order:
    """Change an order by a merge patch and plan it anew.

    Raises:
        NotFoundError, MissingVersionError, StaleError: as their names say.
        NotAllowedError: if its hood is on the hook already.
        UnreadableError: naming every field that cannot be read or has the wrong shape.
    """
    order = order_by_number(session, number)
    _check_version(order, version)
    check_editable(State(order.state))
    old = order.asked
    asked = _patched(old, patch)
    buyer = _buyer(session, asked)
    order.buyer_id = buyer.id or 0
    order.dog_id = _dog(session, buyer, asked).id or 0
    _fill(order, asked, _rates_for(session, order))
    order.version += 1
    order.changed_at = now
    session.add(order)
    changed = {
        name: [old.get(name), new] for name, new in order.asked.items() if old.get(name) != new
    }
    _record(session, order, now, "changed", "", changed)
    session.flush()
    return order


def move_order(
    session: Session, number: str, to: str, version: int | None, now: datetime, note: str = ""
) -> Order:
    """Move an order to another state.

    Raises:
        NotFoundError, MissingVersionError, StaleError: as their names say.
        NotAllowedError: if the table of states does not hold that move.
        UnreadableError: if there is no such state.
    """
    order = order_by_number(session, number)
    _check_version(order, version)
    if to not in {state.value for state in State}:
        message = f"“{to[:40]}” is no state. The states are: {', '.join(State)}."
        raise UnreadableError(message, {"to": message})
    old = State(order.state)
    check_move(old, State(to), planned=order.plan is not None)
    order.state = to
    order.version += 1
    order.changed_at = now
    session.add(order)
    _record(session, order, now, "moved", note, {"state": [old.value, to]})
    session.flush()
    return order


@dataclass(frozen=True, slots=True)
class Sought:
    """What orders are looked for: all that are given must hold."""

    state: str = ""
    words: str = ""
    due_by: date | None = None
    before_id: int | None = None
    most: int = PAGE


def orders_like(session: Session, sought: Sought) -> tuple[list[Order], int | None]:
    """Return orders, newest first, and the id to go on from, or None at the end."""
    query = select(Order).order_by(col(Order.id).desc())
    if sought.state:
        query = query.where(col(Order.state) == sought.state)
    for word in sought.words.casefold().split()[:10]:
        query = query.where(col(Order.search).contains(word, autoescape=True))
    if sought.due_by:
        query = query.where(col(Order.due) <= sought.due_by)
    if sought.before_id is not None:
        query = query.where(col(Order.id) < sought.before_id)
    rows = list(session.exec(query.limit(sought.most + 1)))
    more = rows[sought.most - 1].id if len(rows) > sought.most else None
    return rows[: sought.most], more


def utc_now() -> datetime:
    """Return this moment in UTC."""
    return datetime.now(UTC)
