"""Where the work on a hood stands, in figures and words, for the wire and the pages."""

from datetime import datetime

from service.bench.bodies import BenchOut, MeasuredOut, PaceOut, StateOut, StepOut
from service.bench.desk import Desk
from service.bench.pace import at_own_pace, minutes_at, own_paces, timings_of
from service.bench.step import Step
from service.states import State
from sizing.units import show_length

_SECONDS = 60


def measured_out(desk: Desk) -> list[MeasuredOut]:
    """Return what the tape said, by step; the last word on each counts."""
    found: dict[str, MeasuredOut] = {}
    for event in sorted(desk.events, key=lambda one: (one.at, one.uid)):
        step = desk.steps_known.get((event.plan, event.step))
        check = step.check if step else None
        if step is None or check is None or event.mm is None or event.uid in desk.struck:
            continue
        found[event.step] = MeasuredOut(
            step=step.key,
            name=check.name,
            text=event.measured,
            mm=event.mm,
            shown=show_length(event.mm, desk.asked.unit),
            due=step.count,
            near=abs(event.mm - check.mm) <= check.tolerance_mm,
        )
    return list(found.values())


def _notices(desk: Desk) -> list[str]:
    found = []
    if late := desk.apart():
        rows = "1 tap was" if late == 1 else f"{late} taps were"
        found.append(
            f"{rows} made by an earlier plan of this hood and do not count here. If the rows are"
            " on the hook, say under “More” at which row the work stands."
        )
    return found


def state_out(desk: Desk, now: datetime) -> StateOut:
    """Return where the work stands at a moment."""
    order, progress, clock, steps = desk.order, desk.progress, desk.clock, desk.steps
    timings = timings_of(clock.timed, desk.steps_known)
    own = at_own_pace(desk.rates, timings).pace
    reached = {step.key for step in steps[: progress.base]} | progress.done.keys()
    timed = {one.step for one in clock.timed if one.seconds is not None}
    untimed = [step for step in steps if step.key in reached - timed]
    left = [step for step in steps if step.key not in reached]
    return StateOut(
        number=order.number,
        order_state=State(order.state),
        version=order.version,
        events=len(desk.rows),
        plan=desk.plan.mark,
        base=progress.base,
        done=progress.done,
        at=steps[progress.at].key if progress.at < len(steps) else None,
        running=clock.running(now) and State(order.state) is State.MAKING,
        since=clock.since,
        away=clock.away,
        minutes_spent=clock.spent / _SECONDS,
        minutes_untimed=sum(minutes_at(step, own) for step in untimed),
        minutes_left=sum(minutes_at(step, own) for step in left),
        rows_untimed=sum(1 for step in untimed if step.row),
        paces={
            kind: PaceOut(pace=one.pace, minutes=one.minutes)
            for kind, one in own_paces(timings, desk.rates.pace).items()
        },
        measured=measured_out(desk),
        notices=_notices(desk),
    )


def step_out(step: Step) -> StepOut:
    """Return a step for the wire."""
    return StepOut.model_validate(step, from_attributes=True)


def bench_out(desk: Desk, now: datetime) -> BenchOut:
    """Return all the work of a hood, and where it stands at a moment."""
    return BenchOut(
        dog=desk.asked.dog.name or "Unnamed dog",
        steps=[step_out(step) for step in desk.steps],
        state=state_out(desk, now),
    )
