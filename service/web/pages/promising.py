"""What can be promised, in words: while an order is taken, on its page, and in the queue."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from sqlmodel import Session

from documents.figures import date_text, minutes_text
from service.bodies import RatesIn
from service.capacitybodies import SlipOut, TrialOut
from service.models import Order
from service.parcels import ALONE, Company, company_of, parcels
from service.promise import Work
from service.queue import QUEUED, Queue, queue, queue_promises, tried, usual, work_of
from service.shop import shop_of
from service.states import OPEN
from service.web.pages.typed import Values, last
from sizing.plan import Plan

NEVER: Final = "not within three years"


@dataclass(frozen=True, slots=True)
class Outlook:
    """The queue as the order form sees it, on a day.

    Attributes:
        known: the hoods to make.
        usual: likely and safe minutes of a usual hood, or None before any was planned.
        rates: of the shop, for the plan of what is typed.
    """

    known: Queue
    usual: tuple[float, float] | None
    rates: RatesIn
    today: date


@dataclass(frozen=True, slots=True)
class Promised:
    """What is said of a date: the sentence, whether it warns, and what slips."""

    line: str
    warns: bool
    slips: tuple[str, ...]
    known: bool = True


def outlook(session: Session, today: date) -> Outlook:
    """Return the queue for the order form."""
    return Outlook(queue(session), usual(session), shop_of(session)[0].rates, today)


def _due(values: Values) -> date | None:
    try:
        return date.fromisoformat(last(values, "due"))
    except ValueError:
        return None


def work_of_plan(plan: Plan) -> Work:
    """Return a plan as work that can be promised."""
    spread = plan.labour.spread
    return Work("", plan.labour.minutes, spread.high if spread else plan.labour.minutes)


def for_form(
    values: Values,
    seen: Outlook,
    planned: Work | None,
    number: str = "",
    company: Company = ALONE,
) -> Promised | None:
    """Return what can be promised for what is typed; None while nothing can be said."""
    minutes = (planned.likely, planned.safe) if planned else seen.usual
    if minutes is None:
        return None
    new = Work(number, *minutes, _due(values), parcel=company.parcel)
    about = "This hood" if planned else f"A usual hood of {minutes_text(minutes[0])}"
    trial = tried(seen.known, new, seen.today, company.along)
    return _said(trial, about, company.dogs)


def _day(day: date | None) -> str:
    return date_text(day) if day else NEVER


def _days(likely: date | None, safe: date | None) -> str:
    return _day(likely) if likely == safe else f"{_day(likely)}, safely by {_day(safe)}"


def _slip(one: SlipOut) -> str:
    end = f", past its due date, {date_text(one.due)}" if one.breaks and one.due else ""
    return f"{one.dog or one.number} slips from {_day(one.before)} to {_day(one.after)}{end}."


def _with(dogs: Sequence[str]) -> str:
    """Return whom a hood is sent with, after its days; nothing where it goes alone."""
    *before, end = dogs or ("",)
    named = f"{', '.join(before)} and {end}" if before else end
    return f", in one parcel with {named}" if named else ""


def _said(trial: TrialOut, about: str, dogs: Sequence[str]) -> Promised:
    if not trial.known:
        return Promised("", warns=False, slips=(), known=False)
    days = _days(trial.likely, trial.safe)
    line = f"{about} could be with the buyer by {days}{_with(dogs)}."
    if trial.late:
        line += " That is after the due date."
    elif trial.near:
        line += " The due date lies between the two: it can be met, and it can be missed."
    warns = trial.late or trial.near or any(one.breaks for one in trial.slips)
    return Promised(line, warns, tuple(map(_slip, trial.slips)))


def for_order(session: Session, order: Order, today: date) -> Promised | None:
    """Return what can be promised for an order that is still to be made."""
    if not order.planned or order.state not in OPEN:
        return None
    known, company = queue(session), company_of(session, order)
    if order.state not in QUEUED:
        work = work_of(order, company.parcel)
        return _said(tried(known, work, today, company.along), "Accepted today, it", company.dogs)
    mine = queue_promises(known, today).get(order.number)
    if mine is None:
        return Promised("", warns=False, slips=(), known=False)
    days = _days(mine.likely, mine.safe)
    line = f"In the queue it is with the buyer by {days}{_with(parcels(known)[order.number])}."
    if mine.late:
        line += " That is after the due date: tell the buyer, or move it in the queue."
    return Promised(line, mine.late or mine.near, ())
