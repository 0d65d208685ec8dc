"""What became of a hood: told by the maker, kept with the order, and learned from."""

from datetime import datetime
from typing import Any, Final

from sqlalchemy import select as columns
from sqlmodel import Session, col

from service.bodies import OrderIn, OutcomeIn
from service.errors import NotAllowedError, UnreadableError
from service.experience import felt, kept_offsets, odd_in, outcome_of
from service.models import Learned, Order, OrderEvent, Outcome
from service.orders import order_to_change
from service.planning import dog_of_core, plan_again
from service.shelfstand import weighed
from service.states import State
from service.told import Told, recent
from sizing.doctor.learn import PUBLISHED, Finished, learn
from sizing.dogs import Field
from sizing.fit import reduction
from sizing.fittings import Felt
from sizing.plan import Plan
from sizing.units import read_length
from sizing.wearing import Zone

DONE: Final = frozenset({State.FINISHED, State.HANDED_OVER})


def _zones(plan: Plan) -> dict[str, dict[str, float]]:
    """Return body / finished of each zone, and what it would be before anything was learned."""
    if plan.fit is None:
        return {}
    less = reduction(plan.fit.stretch, plan.profile.risks)
    usual = {
        Zone.COLLAR: 1 / (1 - less.collar),
        Zone.NAPE: 1 / (1 - less.nape),
        Zone.OPENING: 1 / (1 - less.opening),
    }
    return {
        worn.zone.value: {"ratio": 1 + worn.strain, "usual": usual[worn.zone]}
        for worn in plan.fit.zones
    }


def _said(order: Order) -> dict[str, Any]:
    if order.plan is None:
        return {}
    return said_of(plan_again(order.plan), OrderIn.model_validate(order.asked))


def said_of(plan: Plan, asked: OrderIn) -> dict[str, Any]:
    """Return what a plan had said of what the maker tells of the finished hood."""
    texts = {field: getattr(asked.measurements, field.value) for field in Field}
    return {
        "grams": plan.yarn.model_grams,
        "minutes": plan.labour.model_minutes,
        "hook_mm": plan.hook_mm,
        "zones": _zones(plan),
        "lengths": {f.value: read_length(t, asked.unit).value for f, t in texts.items()},
    }


def _true(outcome: Told) -> bool:
    """Return whether a hood fitted so well that its numbers were right."""
    fittings = felt(outcome)
    return bool(fittings) and all(one.felt is Felt.GOOD for one in fittings)


def learn_anew(session: Session) -> None:
    """Work out anew what the hoods that fitted say of usual lengths, and keep it."""
    fitted = [one for one in recent(session) if _true(one) and one.said.get("lengths")]
    asked = _asked(session, [one.order_id for one in fitted])
    finished = [
        Finished(
            dog_of_core(OrderIn.model_validate(asked[one.order_id])),
            {Field(name): mm for name, mm in one.said["lengths"].items()},
        )
        for one in fitted
    ]
    row = session.get(Learned, 1) or Learned(id=1, offsets=[])
    row.offsets = kept_offsets(learn(PUBLISHED, finished))
    session.add(row)


def _asked(session: Session, ids: list[int]) -> dict[int, dict[str, Any]]:
    """Return what was asked in some orders, by id; their plans stay unread."""
    query = columns(col(Order.id), col(Order.asked)).where(col(Order.id).in_(ids))
    return {row.id: row.asked for row in session.execute(query)}


def tell_outcome(
    session: Session, number: str, told: OutcomeIn, version: int | None, now: datetime
) -> Order:
    """Keep what became of a finished hood; told again, it replaces what was told.

    Raises:
        NotFoundError, MissingVersionError, StaleError: as their names say.
        NotAllowedError: if the hood is not finished.
        UnreadableError: if a figure is so far from the plan that it is asked back first.
    """
    order = order_to_change(session, number, version)
    if State(order.state) not in DONE:
        reason = f"The hood of order {order.number} is “{order.state}”: finish it first."
        raise NotAllowedError(reason)
    outcome = outcome_of(session, order.id) or Outcome(
        order_id=order.id or 0, dog_id=order.dog_id, yarn="", told={}, said={}, at=now
    )
    before = outcome.told
    outcome.yarn = OrderIn.model_validate(order.asked).yarn.name
    outcome.told = told.model_dump(mode="json", exclude_none=True)
    outcome.said = _said(order)
    outcome.at = now
    odd = {} if told.sure else odd_in(outcome)
    if odd:
        raise UnreadableError(" ".join(odd.values()), odd)
    session.add(outcome)
    session.flush()
    if told.grams:
        weighed(session, order, told.grams)
    learn_anew(session)
    order.version += 1
    order.changed_at = now
    session.add(order)
    changed = {
        name: [before.get(name), new]
        for name, new in outcome.told.items()
        if before.get(name) != new
    }
    session.add(
        OrderEvent(order_id=order.id or 0, at=now, kind="outcome", note=told.note, change=changed)
    )
    session.flush()
    return order
