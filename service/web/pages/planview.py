"""The plan of a hood in words, for the order's page."""

from dataclasses import dataclass
from typing import Final

from documents.figures import (
    balls_text,
    gauge_text,
    hook_text,
    minutes_text,
    span_text,
    spread_text,
    yarn_length_text,
)
from documents.pieces_view import pieces_view
from documents.ticket_sections import sections_of
from service.bodies import OrderIn
from service.web.pages.figures import Figure, figure
from service.web.pages.fitview import FitView, fit_view
from service.web.pages.words import capital
from service.web.pages.worklines import Work, work_of
from sizing.fit import Dimensions
from sizing.material import YarnNeed
from sizing.plan import Plan
from sizing.units import LengthUnit, show_length
from sizing.wording import GAUGE_WORD, hand_notes, key_for

Line = tuple[str, str]
MOST_SAID: Final = 0.99
"""No estimate is so sure that it says more."""


@dataclass(frozen=True, slots=True)
class Size:
    """One dimension of the hood: aimed at and as it will come out."""

    name: str
    target: str
    finished: str


@dataclass(frozen=True, slots=True)
class PlanView:
    """A plan in words."""

    sizes: tuple[Size, ...]
    pieces: Figure
    work: tuple[Work, ...]
    key: tuple[Line, ...]
    hand_notes: tuple[str, ...]
    hook: str
    gauge: tuple[Line, ...]
    gauge_word: str
    span: str
    tested: bool
    yarn: tuple[Line, ...]
    yarn_basis: str
    yarn_second: str
    time: tuple[Line, ...]
    minutes: str
    price: tuple[Line, ...]
    total: str
    price_notes: tuple[str, ...]
    yarn_advice: str
    fit: FitView | None


def _sizes(plan: Plan, unit: LengthUnit) -> tuple[Size, ...]:
    def shown(of: Dimensions, name: str) -> str:
        mm = getattr(of, name)
        return show_length(mm, unit) if mm is not None else ""

    names = {
        "collar_girth": "Collar strip, before joining",
        "collar_height": "Collar height",
        "nape": "Nape, along the centre back",
        "face_opening": "Opening round the face",
        "crown": "From nape to brow, over the crown",
    }
    return tuple(
        Size(label, shown(plan.target, name), shown(plan.finished, name))
        for name, label in names.items()
    )


def balls_line(plan: Plan) -> str:
    """Return the balls to have ready, and how sure it is that they suffice."""
    need = plan.yarn
    likely, buy = need.balls_likely, need.balls_to_buy
    spare = "" if likely == buy else f"; {likely} may do"
    odds = min(need.suffices or 0, MOST_SAID)
    sure = f", enough in {odds:.0%} of cases" if odds else ""
    return f"{balls_text(buy)}{sure}{spare}"


def _second(need: YarnNeed, unit: LengthUnit) -> str:
    """Return what the second way to the metres says; nothing in a plan that knows none."""
    if need.by_area is None:
        return ""
    said = f"By the area of the fabric, a second way: {yarn_length_text(need.by_area, unit)}."
    if need.agree is False:
        said += " The two do not agree: look at the swatch's and the ball's numbers again."
    return said


def _colours(plan: Plan) -> tuple[Line, ...]:
    """Return the balls to have ready, colour by colour where there are several."""
    if len(plan.yarn.colours) <= 1:
        return (("Have ready", balls_line(plan)),)
    return tuple(
        (
            f"Have ready, {one.colour or 'main colour'}",
            f"{balls_text(one.balls_to_buy)}, {spread_text(one.grams, 'g')}",
        )
        for one in plan.yarn.colours
    )


def plan_view(plan: Plan, number: str, asked: OrderIn) -> PlanView:
    """Return a plan in words, in the order's unit, terms and hand."""
    unit, terms, hand = asked.unit, asked.terms, asked.wishes.hand
    gauge, price = plan.gauge, plan.price
    sections = sections_of(plan, terms, hand, unit, number)
    return PlanView(
        sizes=_sizes(plan, unit),
        pieces=figure(pieces_view(plan, unit)),
        work=tuple(map(work_of, sections[: len(plan.pattern.parts)])),
        key=key_for(plan.pattern, terms),
        hand_notes=hand_notes(hand),
        hook=hook_text(plan.hook_mm),
        gauge=(
            ("Rib, back loop", gauge_text(gauge.rib_stitches, gauge.rib_rows)),
            ("Plain", gauge_text(gauge.plain_stitches, gauge.plain_rows)),
        ),
        gauge_word=GAUGE_WORD[terms],
        span=span_text(unit),
        tested=gauge.tested,
        yarn=(
            ("Length", yarn_length_text(plan.yarn.metres, unit)),
            ("Weight", spread_text(plan.yarn.grams, "g")),
            *_colours(plan),
        ),
        yarn_basis=plan.yarn.basis,
        yarn_second=_second(plan.yarn, unit),
        time=tuple(
            (capital(task.name), minutes_text(task.minutes))
            for task in plan.labour.tasks
            if round(task.minutes)
        ),
        minutes=minutes_text(plan.labour.minutes),
        price=tuple((capital(line.name), str(line.amount)) for line in price.lines),
        total=f"{price.total} {price.currency}",
        price_notes=price.notes,
        yarn_advice=plan.yarn.advice,
        fit=fit_view(plan.fit, unit) if plan.fit else None,
    )
