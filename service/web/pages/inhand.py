"""What is really on the hook: measured, judged, and the rest planned again."""

from dataclasses import dataclass
from typing import Final
from uuid import uuid4

from fastapi import Request
from fastapi.responses import HTMLResponse

from documents.figures import gauge_text
from documents.ticket_sections import rest_sections
from service.bench.desk import desk_of
from service.bench.plans import Working
from service.bodies import OrderIn
from service.db import Database
from service.errors import UnreadableError
from service.models import Order
from service.orders import order_by_number
from service.states import State
from service.web.dependencies import DatabaseOf
from service.web.pages import words
from service.web.pages.render import page
from service.web.pages.typed import Form, Kind, Typed, Values, read_body, tree_of
from service.web.pages.worklines import Work, work_of
from service.web.parts import page_part
from service.web.problems import fields_of, status_of
from service.work import judged
from service.workbodies import InHandIn
from sizing.errors import ValueOutOfRangeError
from sizing.replan import Replan, Verdict
from sizing.units import LengthUnit, show_length

router = page_part("/orders")
FIELDS: Final[dict[str, Kind]] = {
    "part": Kind.TEXT,
    "rows_made": Kind.NUMBER,
    "stitches_now": Kind.NUMBER,
    "width": Kind.TEXT,
    "length": Kind.TEXT,
}
LABELS: Final = {
    "part": "What is on the hook",
    "rows_made": "Rows made",
    "stitches_now": "Stitches in the last row",
    "width": "Width, along the last row",
    "length": "Length, across the rows made",
}
_PLACES: Final = {"measured_width_mm": "width", "measured_length_mm": "length"}
_DO: Final = {
    Verdict.CARRY_ON: "Carry on",
    Verdict.RIP_BACK: "Rip back",
    Verdict.CHANGE_HOOK: "Take another hook",
    Verdict.MEASURE_AGAIN: "Count and measure again",
}
_ZONES: Final = {
    "collar_girth": "Collar strip",
    "collar_height": "Collar height",
    "nape": "Nape",
    "face_opening": "Opening round the face",
}


@dataclass(frozen=True, slots=True)
class Outcome:
    """One dimension: by the old plan at the gauge in hand, and by what is advised."""

    name: str
    unchanged: str
    advised: str


@dataclass(frozen=True, slots=True)
class JudgedView:
    """A piece in hand, judged, in words.

    Attributes:
        told: whether the tape can be believed: what comes out is told only then.
        do: what to do, and why.
        other: whether the rows that are left differ from those planned.
    """

    told: bool
    do: str
    why: str
    other: bool
    gauge: str
    outcomes: tuple[Outcome, ...]
    rest: tuple[Work, ...]


def judged_view(again: Replan, asked: OrderIn) -> JudgedView:
    """Return what to do with a piece, in the order's unit and terms."""
    gauge = again.hand.gauge
    worked = (
        (gauge.rib_stitches, gauge.rib_rows)
        if again.rest.parts and again.rest.parts[0].part.value == "collar"
        else (gauge.plain_stitches, gauge.plain_rows)
    )
    carried = again.verdict is Verdict.CARRY_ON
    return JudgedView(
        told=again.verdict is not Verdict.MEASURE_AGAIN,
        do=_DO[again.verdict] + (", by other rows" if carried and again.changed else ""),
        why=again.why,
        other=again.changed,
        gauge=gauge_text(*worked),
        outcomes=_outcomes(again, asked.unit),
        rest=tuple(
            map(work_of, rest_sections(again.rest, asked.terms, asked.wishes.hand, again.row))
        ),
    )


def _outcomes(again: Replan, unit: LengthUnit) -> tuple[Outcome, ...]:
    return tuple(
        Outcome(
            name,
            show_length(getattr(again.unchanged, field), unit),
            show_length(getattr(again.finished, field), unit),
        )
        for field, name in _ZONES.items()
    )


def _show(
    order: Order, plan: Working, form: Form, again: Replan | None = None, status: int = 200
) -> HTMLResponse:
    asked = OrderIn.model_validate(order.asked)
    return page(
        "in_hand.html",
        status,
        number=order.number,
        dog=asked.dog.name or "Unnamed dog",
        unit=asked.unit.value,
        form=form,
        judged=judged_view(again, asked) if again else None,
        follow=again is not None
        and again.verdict is not Verdict.MEASURE_AGAIN
        and State(order.state) is State.MAKING,
        making=State(order.state) is State.MAKING,
        again_by=plan.mark,
        fresh=str(uuid4()),
        labels=LABELS,
        words=words,
    )


def _order(database: Database, number: str) -> tuple[Order, Working]:
    """Return an order and the plan that its hood is worked by.

    Raises:
        NotFoundError, NoPlanError: as their names say.
    """
    with database.reading() as session:
        order = order_by_number(session, number)
        return order, desk_of(session, order).plan


@router.get("/{number}/in-hand")
def ask_for_work_in_hand(number: str, request: Request, database: DatabaseOf) -> HTMLResponse:
    """Ask what is on the hook; what the address says of it is filled in."""
    order, plan = _order(database, number)
    told = request.query_params
    known: Values = {name: (told[name][:60],) for name in FIELDS if name in told}
    return _show(order, plan, Form({"part": ("collar",), **known}))


@router.post("/{number}/in-hand")
def judge_work_in_hand(number: str, typed: Typed, database: DatabaseOf) -> HTMLResponse:
    """Say what to do with it, by the plan that is followed; nothing is kept."""
    order, plan = _order(database, number)
    values: Values = {name: typed[name] for name in FIELDS if name in typed}
    tree, wrong = tree_of(values, FIELDS)
    tree = {"width": "", "length": ""} | tree  # an empty length is told as one that is not read
    try:
        body = read_body(InHandIn, tree, wrong, FIELDS)
        again = judged(plan.plan, body, OrderIn.model_validate(order.asked).unit)
    except (UnreadableError, ValueOutOfRangeError) as error:
        found = {_PLACES.get(name, name): said for name, said in fields_of(error).items()}
        return _show(order, plan, Form(values, found), status=status_of(error))
    return _show(order, plan, Form(values), again)
