"""The order's page, decided: what is next, the numbers, and the plan in words."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from documents.figures import fibres_text
from service.orderout import OrderHead, order_head
from service.orders import Found
from service.outcomes import DONE
from service.planbodies import FindingOut
from service.planning import question_for_owner
from service.states import EDITABLE, NEEDS_PLAN, State
from service.web.pages.history import Happening, happenings
from service.web.pages.makeview import made_lines
from service.web.pages.outcomeview import OutcomeView, outcome_view
from service.web.pages.planview import Line, PlanView, plan_view
from service.web.pages.words import (
    MEASURES,
    MORE_MEASURES,
    RISKS,
    ROAD,
    capital,
    due_words,
    move_words,
    next_move,
)
from sizing.ballband import FIELD as BALL
from sizing.ballband import NAMES as OF_BALL
from sizing.checks import Severity
from sizing.doctor.learn import Prior
from sizing.swatches import NAMES as OF_SWATCH

_MEASURED: Final = {"weighed_grams": " g", "unravelled_mm": " mm"}
"""Units of what a swatch was measured to take; its counts have none."""
DOUBTED: Final = ("weight", "breed")
"""What is told of a dog and may be doubted beside its lengths."""
_RISK_WORDS: Final = dict(RISKS)


@dataclass(frozen=True, slots=True)
class Measure:
    """One measurement: as given, as used, and what there is to say about it.

    Attributes:
        stopped: whether it stops the plan.
        doubted: whether it is asked after, and the maker has not said that it is right.
        reason: why the maker accepted it, or nothing.
        elsewhere: the field of the order's form where it is changed; empty: beside it.
    """

    field: str
    name: str
    given: str
    used: str
    findings: tuple[FindingOut, ...]
    stopped: bool
    doubted: bool
    reason: str
    elsewhere: str = ""


@dataclass(frozen=True, slots=True)
class OrderView:
    """An order as its page tells it."""

    order: OrderHead
    state: str
    due: date | None
    near: str
    editable: bool
    road: tuple[tuple[str, str], ...]
    next: Line | None
    moves: tuple[Line, ...]
    measures: tuple[Measure, ...]
    remarks: tuple[FindingOut, ...]
    stopped: tuple[Measure, ...]
    dog: tuple[Line, ...]
    yarn: tuple[Line, ...]
    made: tuple[Line, ...]
    plan: PlanView | None
    history: tuple[Happening, ...]
    ask_owner: str
    ended: OutcomeView | None


def _measure(
    order: OrderHead, field: str, name: str, given: str, used: str, elsewhere: str = ""
) -> Measure:
    reasons = {stop.field: stop.reason for stop in order.asked.accepted}
    found = tuple(one for one in order.findings if one.field == field)
    stops = any(one.severity is Severity.STOP for one in found)
    asks = any(one.severity is not Severity.NOTE for one in found)
    return Measure(
        field=field,
        name=name,
        given=given,
        used=used,
        findings=found,
        stopped=stops and field not in reasons,
        doubted=asks and field not in reasons,
        reason=reasons.get(field, "") if asks else "",
        elsewhere=elsewhere,
    )


def _of_yarn(order: OrderHead) -> Iterator[Measure]:
    """Yield the counts of the swatch and the ball's band, where there is a doubt about them."""
    ball, swatch = order.asked.yarn, order.asked.swatch
    counts = {name: getattr(swatch, name, None) for name in OF_SWATCH}
    given = {
        name: f"{count:g}{_MEASURED.get(name, '')}" for name, count in counts.items() if count
    }
    given |= {BALL: f"{ball.ball_metres:g} m, {ball.ball_grams:g} g"}
    for field, text in given.items():
        if any(one.field == field for one in order.findings):
            called = capital((OF_SWATCH | OF_BALL)[field])
            where = "yarn.ball_metres" if field == BALL else f"swatch.{field}"
            yield _measure(order, field, called, text, "", where)


def _measures(order: OrderHead) -> tuple[Measure, ...]:
    """Return the lengths, and what was told of the dog where there is a doubt about it."""
    lengths = [
        _measure(order, field, name, length.text, length.shown)
        for field, name, _ in (*MEASURES, *MORE_MEASURES)
        if field in order.measurements
        for length in (order.measurements[field],)
    ]
    told = [
        _measure(order, field, capital(field), getattr(order.asked.dog, field), "")
        for field in DOUBTED
        if any(f.field == field and f.severity is not Severity.NOTE for f in order.findings)
    ]
    return (*lengths, *told, *_of_yarn(order))


def _ask_owner(order: OrderHead, prior: Prior) -> str:
    """Return what to ask the owner while the numbers can change and a doubt is left."""
    settled = {stop.field for stop in order.asked.accepted} | set(OF_SWATCH) | set(OF_BALL)
    doubts = [f for f in order.findings if f.severity is not Severity.NOTE]
    if order.state not in EDITABLE or all(f.field in settled for f in doubts):
        return ""
    return question_for_owner(order.asked, prior)


def _dog(order: OrderHead) -> tuple[Line, ...]:
    dog = order.asked.dog
    told = (
        ("Breed", dog.breed or "a mix, or not known"),
        ("Weight", dog.weight),
        ("Head", dog.head.value if dog.head else ""),
        ("Ears", dog.ears.value if dog.ears else ""),
        ("Coat", dog.coat.value if dog.coat else ""),
        ("Mind", ", ".join(_RISK_WORDS[risk.value].lower() for risk in dog.risks)),
    )
    return tuple(line for line in told if line[1])


def _yarn(order: OrderHead) -> tuple[Line, ...]:
    yarn = order.asked.yarn
    fibres = tuple((share.fibre, share.percent) for share in yarn.fibres)
    told = (
        ("Name", yarn.name),
        ("Fibres", fibres_text(fibres)),
        ("Ball", f"{yarn.ball_metres:g} m, {yarn.ball_grams:g} g"),
        ("Lot", yarn.lot),
    )
    return tuple(line for line in told if line[1])


def _road(state: State) -> tuple[tuple[str, str], ...]:
    """Return the states an order goes through, each with how it stands to this one."""
    if state not in ROAD:
        return ()
    here = ROAD.index(state)
    stands = ("behind", "here", "ahead")
    return tuple(
        (capital(step.value), stands[(place >= here) + (place > here)])
        for place, step in enumerate(ROAD)
    )


def order_view(found: Found, today: date, prior: Prior) -> OrderView:
    """Return an order as its page tells it on a day; `prior` is what finished hoods taught."""
    order = order_head(found)
    state = order.state
    plan = found.plan
    measures = _measures(order)
    stopped = tuple(one for one in measures if one.stopped)
    forward = None if stopped else next_move(state)
    others = [new for new in order.next_states if new != forward]
    if not plan:
        others = [new for new in others if new not in NEEDS_PLAN]
    return OrderView(
        order=order,
        state=capital(state.value),
        due=order.asked.due,
        near=due_words(order.asked.due, today, state),
        editable=state in EDITABLE,
        road=_road(state),
        next=(forward.value, move_words(state, forward)) if forward else None,
        moves=tuple((new.value, move_words(state, new)) for new in others),
        measures=measures,
        remarks=tuple(f for f in order.findings if f.field not in {m.field for m in measures}),
        stopped=stopped,
        dog=_dog(order),
        yarn=_yarn(order),
        made=made_lines(order.asked),
        plan=plan_view(plan, order.number, order.asked) if plan else None,
        history=happenings(order.history),
        ended=outcome_view(found.outcome) if state in DONE else None,
        ask_owner=_ask_owner(order, prior),
    )


def stopped_words(stopped: tuple[Measure, ...]) -> str:
    """Return which numbers have to be settled: `the neck girth and the face girth`."""
    names = [f"the {one.name.lower()}" for one in stopped]
    return " and ".join((", ".join(names[:-1]), names[-1])) if len(names) > 1 else names[0]


def hook_advice(hook_mm: float, owned: list[float]) -> str:
    """Return what to do where a plan asks for a hook that the maker does not own."""
    if not owned or hook_mm in owned:
        return ""
    nearest = min(owned, key=lambda mm: (abs(mm - hook_mm), mm))
    return f"You own none of this size; the nearest is {nearest:g} mm. Swatch with it first."
