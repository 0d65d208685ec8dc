"""What can be promised, in words: while an order is taken, on its page, and in the queue."""

from dataclasses import dataclass
from datetime import date
from typing import Final

from sqlmodel import Session

from documents.figures import date_text, minutes_text
from service.bodies import RatesIn
from service.capacitybodies import SlipOut, TrialOut
from service.models import Order
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
    values: Values, seen: Outlook, planned: Work | None, number: str = ""
) -> Promised | None:
    """Return what can be promised for what is typed; None while nothing can be said."""
    minutes = (planned.likely, planned.safe) if planned else seen.usual
    if minutes is None:
        return None
    new = Work(number, *minutes, _due(values))
    about = "This hood" if planned else f"A usual hood of {minutes_text(minutes[0])}"
    return _said(tried(seen.known, new, seen.today), about)


def _day(day: date | None) -> str:
    return date_text(day) if day else NEVER


def _days(likely: date | None, safe: date | None) -> str:
    return _day(likely) if likely == safe else f"{_day(likely)}, safely by {_day(safe)}"


def _slip(one: SlipOut) -> str:
    end = f", past its due date, {date_text(one.due)}" if one.breaks and one.due else ""
    return f"{one.dog or one.number} slips from {_day(one.before)} to {_day(one.after)}{end}."


def _said(trial: TrialOut, about: str) -> Promised:
    if not trial.known:
        return Promised("", warns=False, slips=(), known=False)
    line = f"{about} could be with the buyer by {_days(trial.likely, trial.safe)}."
    if trial.late:
        line += " That is after the due date."
    elif trial.near:
        line += " The due date lies between the two: it can be met, and it can be missed."
    warns = trial.late or trial.near or any(one.breaks for one in trial.slips)
    return Promised(line, warns, tuple(map(_slip, trial.slips)))


def for_order(session: Session, order: Order, today: date) -> Promised | None:
    """Return what can be promised for an order that is still to be made."""
    work = work_of(order)
    if work is None or order.state not in OPEN:
        return None
    known = queue(session)
    if order.state not in QUEUED:
        return _said(tried(known, work, today), "Accepted today, it")
    mine = queue_promises(known, today).get(order.number)
    if mine is None:
        return Promised("", warns=False, slips=(), known=False)
    line = f"In the queue it is with the buyer by {_days(mine.likely, mine.safe)}."
    if mine.late:
        line += " That is after the due date: tell the buyer, or move it in the queue."
    return Promised(line, mine.late or mine.near, ())
