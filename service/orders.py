"""The use cases of an order: take it, find it, change it, move it on.

Each takes a session, flushes, and never commits: the request is the transaction.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cached_property
from typing import Any, Final

from sqlalchemy import Connection, bindparam, insert
from sqlalchemy import select as columns
from sqlmodel import Session, col, func, select

from service import onlyonce
from service.bodies import OrderIn, RatesIn
from service.errors import (
    NotFoundError,
    UnreadableError,
    check_version,
)
from service.experience import experience, outcome_of
from service.given import care_delivery
from service.lookup import first_words, keep_words
from service.meters import PLANNING
from service.models import Order, OrderEvent, Outcome, columns_of, table_of
from service.numbering import next_number
from service.patching import patched
from service.people import buyer_of, dog_of
from service.planning import hook_for, kept_findings, kept_plan, plan_again, request_of
from service.sets import beside, set_of
from service.shelfstand import moved
from service.shop import shop_of
from service.states import State, check_editable, check_informed, check_move
from sizing.checks import Finding
from sizing.plan import ENGINE, Plan, Request, blocking, findings_for, plan_of

Clock = Callable[[], datetime]
_ONE_BUYER: Final = (
    "This order goes together with others of its buyer. Take it away from them first, then change"
    " the buyer's name or e-mail."
)
NUMBER: Final = re.compile(r"[0-9]{4}-[0-9]{4,9}")


@dataclass(frozen=True, slots=True)
class Standing:
    """By what one knows that an order, its history with it, is as it was."""

    id: int
    version: int
    changed_at: datetime
    event: int | None


@dataclass(frozen=True)  # without slots: what is worked out once is kept in it
class Found:
    """An order with its history, and its plan where that was made just now.

    `beside` are the other orders of its buyer that go together with it, each without its own.
    """

    order: Order
    events: tuple[OrderEvent, ...]
    outcome: Outcome | None = None
    made: Plan | None = None
    beside: tuple["Found", ...] = ()

    @property
    def together(self) -> tuple["Found", ...]:
        """Return the orders that are offered, billed and sent as one, the first of them first."""
        if self.order.state == State.CANCELLED:
            return (self,)
        every = sorted((self, *self.beside), key=lambda one: one.order.id or 0)
        return tuple(one for one in every if one.order.state != State.CANCELLED)

    @property
    def first(self) -> Order:
        """Return the order that the bills and payments of all of them are kept with."""
        return min((self, *self.beside), key=lambda one: one.order.id or 0).order

    @cached_property
    def asked(self) -> OrderIn:
        """Return what the order asks for."""
        return OrderIn.model_validate(self.order.asked)

    @cached_property
    def plan(self) -> Plan | None:
        """Return the order's plan, or None while a finding stops it."""
        if self.made or not self.order.plan:
            return self.made
        return plan_again(self.order.plan)


def _planned(request: Request) -> tuple[tuple[Finding, ...], Plan | None]:
    """Return the findings on a dog, and the plan unless one of them stops it."""
    findings = findings_for(request)
    stopped = blocking(findings, request.accepted)
    if stopped:
        return findings, None
    with PLANNING.time():
        return findings, plan_of(request, findings)


_RECORD: Final = insert(table_of(OrderEvent))


def _record(
    session: Session, order: Order, now: datetime, kind: str, note: str, change: dict[str, Any]
) -> OrderEvent:
    event = OrderEvent(order_id=order.id or 0, at=now, kind=kind, note=note, change=change)
    session.execute(_RECORD, event.model_dump(exclude={"id"}))
    return event


def _fill(session: Session, order: Order, asked: OrderIn, rates: RatesIn) -> Plan | None:
    """Put what is asked into an order and plan it anew, with what finished hoods have taught."""
    known = experience(session, asked.yarn.name, order.dog_id, hook_for(asked))
    findings, plan = _planned(request_of(asked, rates, known))
    order.due = asked.due
    order.asked = asked.model_dump(mode="json")
    order.rates = rates.model_dump(mode="json")
    order.findings = kept_findings(findings)
    order.plan = kept_plan(plan) if plan else None
    order.engine = ENGINE
    order.planned = plan is not None
    order.buyer_name, order.dog_name = asked.buyer.name, asked.dog.name
    order.breed = asked.dog.breed
    return plan


def remembered(session: Session, key: str, asked: OrderIn) -> Order | None:
    """Return the order that a key has made before, or None.

    Raises:
        KeyReusedError: if the key came with another order.
    """
    row = onlyonce.known(session, key, "order", asked)
    return session.get_one(Order, row.order_id) if row else None


def take(
    session: Session, asked: OrderIn, now: datetime, key: str | None = None, *, known: bool = True
) -> Found:
    """Take an order in; with a key, the same order twice is one order.

    A number that stops the plan does not lose the order: it is kept without a plan. The buyer of
    an order that is not `known`, a stranger's, is always a new one.

    Raises:
        UnreadableError: naming every field that cannot be read.
        KeyReusedError: if the key came with another order.
    """
    if key and (before := remembered(session, key, asked)):
        return found(session, before.number)
    # First the number: it locks the counter, so that two orders at once cannot both miss a
    # buyer and remember the same one twice.
    number = next_number(session, now.year)
    shop, _ = shop_of(session)
    buyer = buyer_of(session, asked, known=known)
    dog = dog_of(session, buyer, asked)
    order = Order(
        number=number,
        buyer_id=buyer.id or 0,
        dog_id=dog.id or 0,
        state=State.ENQUIRY.value,
        asked={},
        rates={},
        findings=[],
        version=1,
        created_at=now,
        changed_at=now,
    )
    plan = _fill(session, order, asked, shop.rates)
    session.add(order)
    session.flush()
    first_words(session, order)
    event = _record(session, order, now, "taken", "", {"asked": order.asked})
    if key:
        onlyonce.keep(session, key, asked, order, now)
    return Found(order, (event,), made=plan)


def take_order(
    session: Session, asked: OrderIn, now: datetime, key: str | None = None, *, known: bool = True
) -> Order:
    """Take an order in, as `take`, and return its row."""
    return take(session, asked, now, key, known=known).order


def _no_order(number: str) -> NotFoundError:
    return NotFoundError(f"There is no order {number[:20]}. Look in the list of orders.")


# Built once, as the next: each page of an order asks them.
_NUMBERED: Final = select(Order).where(col(Order.number) == bindparam("number"))
_HISTORY: Final = (
    select(OrderEvent)
    .where(col(OrderEvent.order_id) == bindparam("order"))
    .order_by(col(OrderEvent.id))
)


def _order_of(session: Session, number: str, *, lock: bool) -> Order:
    order = None
    if NUMBER.fullmatch(number):  # no other text is looked up: not every database takes any
        query = _NUMBERED
        if lock:  # and read anew, if the session has read it before it had the lock
            query = query.with_for_update().execution_options(populate_existing=True)
        order = session.exec(query, params={"number": number}).first()
    if order is None:
        raise _no_order(number)
    return order


def order_by_number(session: Session, number: str) -> Order:
    """Return an order.

    Raises:
        NotFoundError: if there is none of that number.
    """
    return _order_of(session, number, lock=False)


_ORDER, _EVENT = columns_of(Order), columns_of(OrderEvent)
_LAST = columns(func.max(_EVENT.id)).where(_EVENT.order_id == _ORDER.id)
# Built once, and without the ORM: it is asked for each answer that is ready.
_STANDING: Final = columns(
    _ORDER.id, _ORDER.version, _ORDER.changed_at, _LAST.scalar_subquery()
).where(_ORDER.number == bindparam("number"))


def standing(connection: Connection, number: str) -> Standing:
    """Return what stands as long as an order does.

    Raises:
        NotFoundError: if there is none of that number.
    """
    row = None
    if NUMBER.fullmatch(number):
        row = connection.execute(_STANDING, {"number": number}).first()
    if row is None:
        raise _no_order(number)
    return Standing(*row)


def _found(session: Session, order: Order, beside: tuple[Found, ...] = ()) -> Found:
    events = session.exec(_HISTORY, params={"order": order.id})
    return Found(
        order=order,
        events=tuple(events),
        outcome=outcome_of(session, order.id),
        beside=beside,
    )


def found(session: Session, number: str) -> Found:
    """Return an order with its people and its history, oldest first, and those beside it."""
    order = order_by_number(session, number)
    return _found(session, order, tuple(_found(session, one) for one in beside(session, order)))


def order_to_change(session: Session, number: str, version: int | None) -> Order:
    """Return an order to change, at the version that was seen, locked until it is changed.

    Raises:
        NotFoundError, MissingVersionError, StaleError: as their names say.
    """
    order = _order_of(session, number, lock=True)
    changed = f"Order {order.number} was changed meanwhile. Load it again, then change it."
    check_version(version, order.version, changed)
    return order


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
        UnreadableError, WrongShapeError: naming every field that cannot be read.
    """
    order = order_to_change(session, number, version)
    check_editable(State(order.state))
    old = order.asked
    asked = patched(OrderIn.model_validate(old), patch)
    buyer = buyer_of(session, asked)
    if buyer.id != order.buyer_id and len(set_of(session, order)) > 1:
        raise UnreadableError(_ONE_BUYER, {"buyer.name": _ONE_BUYER})
    order.buyer_id = buyer.id or 0
    order.dog_id = dog_of(session, buyer, asked).id or 0
    _fill(session, order, asked, _rates_for(session, order))
    keep_words(session, order)
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
        NotAllowedError: if the table of states does not hold that move, or the order would be
            closed without the care sheet and without a reason.
        UnreadableError: if there is no such state.
    """
    order = order_to_change(session, number, version)
    if to not in {state.value for state in State}:
        message = f"“{to[:40]}” is no state. The states are: {', '.join(State)}."
        raise UnreadableError(message, {"to": message})
    old = State(order.state)
    check_move(old, State(to), planned=order.plan is not None)
    informed = care_delivery(session, order.id) is not None
    check_informed(State(to), informed=informed, reason=note)
    order.state = to
    order.version += 1
    order.changed_at = now
    session.add(order)
    moved(session, order, old)
    _record(session, order, now, "moved", note, {"state": [old.value, to]})
    session.flush()
    return order


def utc_now() -> datetime:
    """Return this moment in UTC."""
    return datetime.now(UTC)
