"""The bench in words: the step in hand, what comes next, and the clock."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final
from urllib.parse import urlencode

from documents.figures import minutes_text
from service.bench.bodies import BenchOut, MeasuredOut, StateOut
from service.bench.desk import Desk
from service.bench.events import Kind
from service.bench.stand import bench_out, state_out
from service.bench.step import Does, Step
from service.states import State
from sizing.rows import PartName

AGAIN: Final = frozenset({PartName.COLLAR, PartName.HOOD})
"""The parts whose rest can be planned again."""


@dataclass(frozen=True, slots=True)
class TimeView:
    """The time of a hood in words."""

    spent: str
    left: str
    untimed: str
    minutes: float


@dataclass(frozen=True, slots=True)
class BenchView:
    """The bench as its page tells it.

    Attributes:
        told: all of it, for the script.
        step: the step in hand; None when all is done.
        then: what comes next, in a line.
        act: what the large button says.
        undo: the events that a press on undo takes back; none where it cannot.
        back: what undo takes back, in words.
        places: the steps that the work can be said to stand at, key and words.
        in_hand: the address at which to say what is on the hook, with what is known of it.
    """

    told: BenchOut
    state: StateOut
    making: bool
    step: Step | None
    then: str
    act: str
    undo: tuple[str, ...]
    back: str
    places: tuple[tuple[str, str], ...]
    in_hand: str
    measured: tuple[MeasuredOut, ...]
    time: TimeView


def time_view(state: StateOut) -> TimeView:
    """Return the time of a hood in words."""
    minutes = state.minutes_spent + state.minutes_untimed
    rows = state.rows_untimed
    some = f"{rows} row{'s' if rows > 1 else ''}"
    untimed = minutes_text(state.minutes_untimed)
    return TimeView(
        spent=minutes_text(minutes),
        left=minutes_text(state.minutes_left),
        untimed=f"{untimed} of it reckoned for {some} not timed" if rows else "",
        minutes=minutes,
    )


def act_of(step: Step) -> str:
    """Return what the button that says a step is done says."""
    if step.does is Does.CHECK:
        return "Measured, go on"
    if step.does is Does.TODO:
        return "Done, go on"
    return f"{step.head} done"


def _places(desk: Desk) -> tuple[tuple[str, str], ...]:
    """Return the steps that the work can be said to stand at; a measure is none."""
    return tuple(
        (step.key, f"{step.part}: {step.head}" if step.name else f"{step.part}: {step.text[:60]}")
        for step in desk.steps[desk.base :]
        if not step.check
    )


def _in_hand(desk: Desk) -> str:
    """Return where to say what is on the hook, with the part and the rows made so far."""
    address = f"/orders/{desk.order.number}/in-hand"
    done, base = desk.progress.done, desk.progress.base
    rows = [(n, step) for n, step in enumerate(desk.steps) if step.row and step.name in AGAIN]
    made = [step for n, step in rows if n < base or step.key in done]
    if not made:
        return address
    step = made[-1]
    known = {"part": step.name, "rows_made": step.row, "stitches_now": step.stitches}
    return f"{address}?{urlencode(known)}"


def bench_view(desk: Desk, now: datetime) -> BenchView:
    """Return the bench as its page tells it."""
    told, steps, at = bench_out(desk, now), desk.steps, desk.progress.at
    before = steps[at - 1] if at else None
    undo = desk.progress.done.get(before.key, ()) if before else ()
    step = steps[at] if at < len(steps) else None
    onward = (s for n, s in enumerate(steps) if n > at and s.key not in desk.progress.done)
    then = next(onward, None)
    return BenchView(
        told=told,
        state=told.state,
        making=told.state.order_state is State.MAKING,
        step=step,
        then=then.brief if then else "",
        act=act_of(step) if step else "",
        undo=undo,
        back=before.head if before and undo else "",
        places=_places(desk),
        in_hand=_in_hand(desk),
        measured=tuple(told.state.measured),
        time=time_view(told.state),
    )


def kind_of(step: Step) -> Kind:
    """Return the event that a press on the large button is."""
    return Kind.MEASURED if step.check else Kind.DONE


def followed_on(desk: Desk) -> str:
    """Return from where on the bench works by another plan than the order's; else nothing."""
    plan = desk.plan
    if plan.part is None:
        return ""
    return (
        f"row {plan.row} of the {plan.part}" if plan.row else f"the beginning of the {plan.part}"
    )


def spent_on(desk: Desk, now: datetime) -> TimeView | None:
    """Return the time of a hood in words, or None where nothing was tapped."""
    return time_view(state_out(desk, now)) if desk.rows else None
