"""The record put together from orders, outcomes, payments and history: a few queries in all."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, Final

from sqlalchemy import select as columns
from sqlmodel import Session, col, select

from service.bodies import OrderIn, RatesIn
from service.experience import experience
from service.models import Dog, Order, OrderEvent, Outcome, Payment
from service.outcomes import DONE
from service.planning import (
    labour_again,
    make_again,
    price_again,
    rates_of,
    yarn_need_again,
    yarn_of,
)
from service.record.bodies import (
    GroupOut,
    HoodOut,
    PairOut,
    RecordOut,
    mean,
    mean_amount,
)
from service.record.words import said_of
from service.shop import shop_of
from service.states import State
from sizing.labour import REST, Labour, Task
from sizing.money import rounded
from sizing.plan import extras_of
from sizing.price import earns_per_hour

MOST: Final = 60
"""Hoods that are looked back on."""
MOST_UNTOLD: Final = 20


def _work(labour: Labour) -> float:
    """Return the minutes without rest, as a clock at the hook counts them."""
    return sum(task.minutes for task in labour.tasks if task.name != REST)


def _minutes(labour: Labour, was: float | None) -> PairOut | None:
    work = _work(labour)
    if was is None or not work:
        return None
    spread = labour.spread
    out = spread.high / spread.likely if spread else 1.0
    return PairOut(planned=work, low=work / out, high=work * out, was=was)


def _longer(labour: Labour, times: float) -> Labour:
    tasks = (Task(task.name, task.minutes * times) for task in labour.tasks)
    return replace(labour, tasks=tuple(tasks), spread=None)


# Of an order only what a hood is looked back on by is read: whole, its plan is some 60 kB.
_KEPT: Any = col(Order.plan)
_FINISHED: Final = (
    columns(
        Outcome, col(Order.number), col(Order.asked), col(Order.rates),
        _KEPT["yarn"], _KEPT["labour"], _KEPT["price"], _KEPT["make"],
    )
    .join(Outcome, col(Outcome.order_id) == col(Order.id))
    .where(col(Order.state).in_(DONE), col(Order.planned))
    .order_by(col(Outcome.id).desc())
    .limit(MOST)
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Looked:
    """A finished hood: what the maker told of it, and of its order, as it is kept."""

    outcome: Outcome
    number: str
    asked: dict[str, Any]
    rates: dict[str, Any]
    yarn: dict[str, Any]
    labour: dict[str, Any]
    price: dict[str, Any]
    make: dict[str, Any] | None


def _hood(hood: _Looked, paid: Decimal, month: str) -> HoodOut:
    asked, told = OrderIn.model_validate(hood.asked), hood.outcome.told
    rates = rates_of(RatesIn.model_validate(hood.rates))
    need, labour = yarn_need_again(hood.yarn), labour_again(hood.labour)
    price, extras = price_again(hood.price), extras_of(make_again(hood.make), rates)
    grams, was = need.grams, told.get("grams")
    minutes = _minutes(labour, told.get("minutes"))

    def earned(amount: Decimal, time: Labour) -> Decimal:
        return earns_per_hour(amount, need, yarn_of(asked.yarn), time, rates, extras=extras)

    return HoodOut(
        number=hood.number,
        dog=asked.dog.name,
        yarn=asked.yarn.name,
        month=month,
        grams=was and PairOut(planned=grams.likely, low=grams.low, high=grams.high, was=was),
        minutes=minutes,
        price=price.total,
        currency=price.currency,
        paid=paid,
        earned_planned=earned(price.total, labour),
        earned=minutes
        and earned(paid if paid > 0 else price.total, _longer(labour, 1 + minutes.more)),
    )


def _paid(session: Session, ids: list[int]) -> dict[int, Decimal]:
    found: dict[int, Decimal] = defaultdict(Decimal)
    for one in session.exec(select(Payment).where(col(Payment.order_id).in_(ids))):
        found[one.order_id] += Decimal(one.amount)
    return found


def _months(session: Session, ids: list[int]) -> dict[int, str]:
    """Return the month in which each hood was last finished."""
    query = select(OrderEvent).where(
        col(OrderEvent.order_id).in_(ids), col(OrderEvent.kind) == "moved"
    )
    return {
        one.order_id: f"{one.at:%Y-%m}"
        for one in session.exec(query.order_by(col(OrderEvent.id)))
        if one.change["state"][1] == State.FINISHED
    }


def hoods(session: Session) -> list[HoodOut]:
    """Return the finished hoods of which something was told, the newest first."""
    found = [_Looked(*row) for row in session.execute(_FINISHED)]
    ids = [one.outcome.order_id for one in found]
    paid, months = _paid(session, ids), _months(session, ids)
    return [
        _hood(
            one,
            paid.get(one.outcome.order_id, Decimal(0)),
            months.get(one.outcome.order_id, f"{one.outcome.at:%Y-%m}"),
        )
        for one in found
    ]


def _groups(
    found: Iterable[HoodOut], key: Callable[[HoodOut], str], currency: str
) -> list[GroupOut]:
    groups: dict[str, list[HoodOut]] = defaultdict(list)
    for one in found:
        groups[key(one)].append(one)
    return [
        GroupOut(
            name=name,
            hoods=len(group),
            grams_more=mean([one.grams.more for one in group if one.grams]),
            minutes_more=mean([one.minutes.more for one in group if one.minutes]),
            earned=_earned(group, currency),
        )
        for name, group in groups.items()
    ]


def _earned(group: list[HoodOut], currency: str) -> Decimal | None:
    told = [one.earned for one in group if one.earned is not None and one.currency == currency]
    found = mean_amount(told)
    return None if found is None else rounded(found, currency)


def untold(session: Session) -> list[tuple[str, str]]:
    """Return the finished hoods of which nothing was told yet: number and dog."""
    query = (
        select(Order.number, Dog.name)
        .join(Dog, col(Dog.id) == col(Order.dog_id))
        .outerjoin(Outcome, col(Outcome.order_id) == col(Order.id))
        .where(col(Order.state).in_(DONE), col(Outcome.id).is_(None))
    )
    return list(session.exec(query.order_by(col(Order.id).desc()).limit(MOST_UNTOLD)))


def record(session: Session) -> RecordOut:
    """Return the record of finished hoods, with what it says."""
    shop, _ = shop_of(session)
    found, known = hoods(session), experience(session, "", None)
    months = _groups(found, lambda one: one.month, shop.rates.currency)
    grams = known.yarn.factor if known.yarn else 1.0
    minutes = known.time.factor if known.time else 1.0
    wage = rates_of(shop.rates).wage_per_hour
    return RecordOut(
        hoods=found,
        months=sorted(months, key=lambda one: one.name, reverse=True),
        yarns=_groups(found, lambda one: one.yarn, shop.rates.currency),
        untold=[number for number, _ in untold(session)],
        grams_factor=grams,
        minutes_factor=minutes,
        currency=shop.rates.currency,
        wage=wage,
        said=said_of(found, (grams, minutes), wage, shop.rates.currency),
    )
