"""All that is known of the work on one hood, read and put together."""

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Final

from sqlalchemy import bindparam
from sqlmodel import Session, col, select

from service.bench.events import Event, Kind, taken_back
from service.bench.fold import Clock, Progress, clock_of, progress
from service.bench.plans import Working, plans_of
from service.bench.step import Step
from service.bench.steps import steps_of
from service.bodies import OrderIn, RatesIn
from service.errors import NoPlanError
from service.models import BenchEvent, Order
from service.planning import rates_of
from sizing.rates import Rates

LEAST_AWAY = 900.0
"""Seconds without a tap after which nobody is at the bench; more where a row takes long."""
ROWS_AWAY = 3
LONG = 800
"""Rows, of every copy, whose steps take some 40 ms of a processor; a usual hood has eighty."""
_SECONDS = 60


def event_of(row: BenchEvent) -> Event:
    """Return an event as it was kept."""
    return Event(
        uid=row.uid,
        kind=Kind(row.kind),
        plan=row.plan,
        step=row.step,
        at=row.at,
        undoes=tuple(row.details.get("undoes", ())),
        measured=row.details.get("measured", ""),
        mm=row.details.get("mm"),
    )


@dataclass(frozen=True)
class Desk:
    """The work on one hood.

    Attributes:
        order: with a plan.
        rows: its events as they were kept, in the order in which they came.
    """

    order: Order
    rows: tuple[BenchEvent, ...]

    @cached_property
    def asked(self) -> OrderIn:
        """Return what the order asks for."""
        return OrderIn.model_validate(self.order.asked)

    @cached_property
    def rates(self) -> Rates:
        """Return the rates of the order."""
        return rates_of(RatesIn.model_validate(self.order.rates))

    @property
    def is_long(self) -> bool:
        """Return whether the hood has so many rows that telling its steps takes long."""
        parts = self.order.plan["pattern"]["parts"] if self.order.plan else ()
        rows: int = sum(len(one["rows"]) * one.get("copies", 1) for one in parts)
        return rows > LONG

    @cached_property
    def plans(self) -> tuple[Working, ...]:
        """Return the plans that were worked by, the one in force last."""
        return plans_of(self.order, [row for row in self.rows if row.kind == Kind.FOLLOW])

    @cached_property
    def steps_by_plan(self) -> dict[str, tuple[Step, ...]]:
        """Return the steps of each plan by its mark."""
        return {
            one.mark: steps_of(one.plan, self.asked, self.rates, self.order.number)
            for one in self.plans
        }

    @property
    def plan(self) -> Working:
        """Return the plan in force."""
        return self.plans[-1]

    @property
    def steps(self) -> tuple[Step, ...]:
        """Return the steps of the plan in force."""
        return self.steps_by_plan[self.plan.mark]

    @cached_property
    def events(self) -> tuple[Event, ...]:
        """Return all events."""
        return tuple(map(event_of, self.rows))

    @cached_property
    def struck(self) -> frozenset[str]:
        """Return the ids of the events that were taken back."""
        return taken_back(self.events)

    @property
    def base(self) -> int:
        """Return how many steps were made before the plan in force was followed."""
        working = self.plan
        mine = [n for n, step in enumerate(self.steps) if step.name is working.part]
        if working.part is None or not mine:
            return 0
        made = [n for n in mine if 0 < self.steps[n].row <= working.row]
        if not made:  # begun anew, or no row of it is left in the pattern
            return mine[0] if not working.row else mine[-1] + 1
        first = max(made) + 1
        # What was to be measured after a row that stays has been measured, or is past.
        return next((n for n in range(first, len(self.steps)) if not self.steps[n].check), first)

    @cached_property
    def progress(self) -> Progress:
        """Return where the work stands."""
        keys = [step.key for step in self.steps]
        return progress(self.events, self.plan.mark, keys, self.base)

    @cached_property
    def clock(self) -> Clock:
        """Return the clock after all events."""
        steps = self.steps_by_plan[self.plans[0].mark]
        longest = max(step.minutes for step in steps if step.row)
        return clock_of(self.events, max(LEAST_AWAY, ROWS_AWAY * longest * _SECONDS))

    @cached_property
    def steps_known(self) -> dict[tuple[str, str], Step]:
        """Return the steps of all plans by plan and key."""
        return {
            (mark, step.key): step for mark, steps in self.steps_by_plan.items() for step in steps
        }

    def apart(self) -> int:
        """Return how many rows were tapped by a plan that was no longer worked by."""
        after = {old.mark: new.mark for old, new in pairwise(self.plans)}
        begun = {row.uid: row.kept_at for row in self.rows if row.kind == Kind.FOLLOW}
        late = 0
        for row in self.rows:
            if row.kind != Kind.DONE or row.uid in self.struck or row.plan == self.plan.mark:
                continue
            follower = after.get(row.plan)
            late += follower is None or row.at > begun[follower]
        return late


# Built once: each page of an order and each tap asks it.
_EVENTS: Final = (
    select(BenchEvent)
    .where(col(BenchEvent.order_id) == bindparam("order"))
    .order_by(col(BenchEvent.id))
)


def desk_of(session: Session, order: Order) -> Desk:
    """Return the work on an order's hood.

    Raises:
        NoPlanError: if it has no plan.
    """
    if order.plan is None:
        message = f"Order {order.number} has no plan yet, so nothing of it can be on the hook."
        raise NoPlanError(message)
    return Desk(order, tuple(session.exec(_EVENTS, params={"order": order.id})))
