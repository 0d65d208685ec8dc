"""What goes out: orders on the wire."""

from datetime import date, datetime
from typing import Any

from service.bodies import OrderIn, OutcomeIn
from service.listing import Line
from service.orders import Found
from service.planbodies import FindingOut, Out, PlanOut
from service.planning import findings_again
from service.planout import finding_out, plan_out
from service.states import MOVES, State
from sizing.dogs import MORE, Field
from sizing.units import read_length, show_length


class LengthOut(Out):
    """A length as given, in mm, and in the order's unit."""

    text: str
    mm: float
    shown: str


class EventOut(Out):
    """What happened, when, from what to what; `by` is the account's name, where one did it."""

    at: datetime
    kind: str
    note: str
    change: dict[str, Any]
    by: str = ""


class OrderLine(Out):
    """An order in the list."""

    number: str
    state: State
    buyer: str
    dog: str
    breed: str
    due: date | None
    stopped: bool
    version: int
    created_at: datetime


class OrderList(Out):
    """A page of orders, newest first; `next` is the cursor of the following page."""

    orders: list[OrderLine]
    next: str | None


class OrderHead(Out):
    """An order without its plan: as asked and as understood."""

    number: str
    state: State
    next_states: list[State]
    version: int
    created_at: datetime
    changed_at: datetime
    asked: OrderIn
    measurements: dict[str, LengthOut]
    findings: list[FindingOut]
    history: list[EventOut]
    outcome: OutcomeIn | None
    together: list[str]


class OrderOut(OrderHead):
    """An order whole, with its plan unless a finding stops it."""

    plan: PlanOut | None


def order_line(line: Line) -> OrderLine:
    """Return an order for the list."""
    return OrderLine.model_validate(line)


def order_list(lines: list[Line], cursor: str | None) -> OrderList:
    """Return a page of the list."""
    return OrderList.model_validate({"orders": lines, "next": cursor})


def lengths_of(asked: OrderIn) -> dict[str, LengthOut]:
    """Return the measurements that were taken, as given and as understood."""
    lengths = {}
    for name in (*Field, *MORE):
        text = getattr(asked.measurements, name)
        if text:
            mm = read_length(text, asked.unit).value
            lengths[str(name)] = LengthOut(text=text, mm=mm, shown=show_length(mm, asked.unit))
    return lengths


def _head(found: Found) -> dict[str, Any]:
    order = found.order
    asked = found.asked
    return {
        "number": order.number,
        "state": State(order.state),
        "next_states": list(MOVES[State(order.state)]),
        "version": order.version,
        "created_at": order.created_at,
        "changed_at": order.changed_at,
        "asked": asked,
        "measurements": lengths_of(asked),
        "findings": [finding_out(finding) for finding in findings_again(order.findings)],
        "history": [
            EventOut(
                at=event.at, kind=event.kind, note=event.note, change=event.change, by=event.by
            )
            for event in found.events
        ],
        "together": [one.order.number for one in found.beside],
        "outcome": OutcomeIn.model_validate(found.outcome.told) if found.outcome else None,
    }


def order_head(found: Found) -> OrderHead:
    """Return an order without its plan."""
    return OrderHead(**_head(found))


def order_out(found: Found) -> OrderOut:
    """Return an order whole."""
    head = _head(found)
    plan = plan_out(found.plan, head["asked"].terms) if found.plan else None
    return OrderOut(**head, plan=plan)
