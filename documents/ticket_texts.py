"""The words and figures of the ticket that stand above the work."""

from dataclasses import dataclass
from typing import Final

from documents.figures import (
    balls_text,
    date_text,
    fibres_text,
    gauge_text,
    hook_text,
    minutes_text,
    spread_text,
    yarn_length_text,
)
from documents.job import Job
from documents.text import ELLIPSIS, Cleaner
from sizing.checks import NAMES, Severity
from sizing.dogs import Field
from sizing.material import YarnNeed
from sizing.plan import Plan
from sizing.units import show_length
from sizing.wording import GAUGE_WORD

LONGEST_NAME: Final = 80
LONGEST_NOTES: Final = 900
MOST_NOTE_LINES: Final = 10
LONGEST_REMARK: Final = 400
LONGEST_LINK: Final = 300
"""A longer address makes a QR code too fine to be read from paper."""


@dataclass(frozen=True, slots=True)
class Head:
    """Who the hood is for, and by when."""

    dog: str
    breed: str
    buyer: str
    hood: str
    order: str
    due: str
    link: str


@dataclass(frozen=True, slots=True)
class MeasureLine:
    """One measurement: its name, as given, as used, and what the hood will measure there."""

    field: Field
    name: str
    given: str
    used: str
    made: str


@dataclass(frozen=True, slots=True)
class Facts:
    """Yarn, hook, gauge and time, as label and lines."""

    yarn: tuple[str, ...]
    amount: tuple[str, ...]
    hook: str
    gauge: tuple[str, ...]
    gauge_word: str
    time: str


def _link(cleaner: Cleaner, link: str) -> str:
    """Return a web address fit for a QR code, or nothing."""
    link = link.strip()
    if not link:
        return ""
    fits = link.isascii() and link.isprintable() and len(link) <= LONGEST_LINK
    if not fits or not link.startswith(("https://", "http://")):
        cleaner.warnings.append("link: not a web address short enough for a QR code; left out.")
        return ""
    return link


def head_of(cleaner: Cleaner, job: Job, plan: Plan) -> Head:
    """Return who the hood is for, and by when."""
    breed = cleaner.line(job.breed, "breed", LONGEST_NAME)
    known = plan.profile.breed.name if plan.profile.breed else "breed not told"
    return Head(
        dog=cleaner.line(job.dog, "dog", LONGEST_NAME) or "Unnamed dog",
        breed=breed or known,
        buyer=cleaner.line(job.buyer, "buyer", LONGEST_NAME),
        hood=cleaner.line(job.hood_number, "hood number", LONGEST_NAME),
        order=cleaner.line(job.order_number, "order number", LONGEST_NAME),
        due=date_text(job.due) if job.due else "no date",
        link=_link(cleaner, job.link),
    )


def measures_of(cleaner: Cleaner, job: Job, plan: Plan) -> tuple[MeasureLine, ...]:
    """Return the four measurements in the order of the fields."""
    taken = {one.field: one for one in job.measurements}
    done = plan.finished
    made = {
        Field.NECK_LENGTH: done.collar_height,
        Field.NECK_GIRTH: done.collar_girth,
        Field.NAPE_LENGTH: done.nape,
        Field.FACE_GIRTH: done.face_opening,
    }
    return tuple(
        MeasureLine(
            field=field,
            name=NAMES[field].capitalize(),
            given=cleaner.line(taken[field].given, NAMES[field], LONGEST_NAME),
            used=show_length(taken[field].used_mm, job.unit),
            made=show_length(made[field], job.unit),
        )
        for field in Field
        if field in taken
    )


def remarks_of(cleaner: Cleaner, job: Job, plan: Plan) -> tuple[str, ...]:
    """Return what was odd about the numbers: what was accepted with its reason, and queries."""
    reasons = {one.field: one.reason for one in job.accepted}
    said: list[str] = []
    for finding in plan.findings:
        stops = finding.severity is Severity.STOP
        if stops or (finding.severity is Severity.QUERY and finding.field in reasons):
            reason = reasons.get(finding.field, "none given")
            said.append(f"Accepted: {finding.message} Reason: {reason}")
        elif finding.severity is Severity.QUERY:
            said.append(f"To check: {finding.message}")
    return tuple(cleaner.line(text, "remark", LONGEST_REMARK) for text in said)


def minding_of(plan: Plan) -> str:
    """Return the dog's risks in one line, in a fixed order."""
    named = sorted(risk.value for risk in plan.profile.risks)
    return f"Mind: {', '.join(named)}." if named else ""


def _gauge_lines(plan: Plan) -> tuple[str, ...]:
    gauge = plan.gauge
    return (
        f"rib {gauge_text(gauge.rib_stitches, gauge.rib_rows)}",
        f"plain {gauge_text(gauge.plain_stitches, gauge.plain_rows)}",
    )


def _balls(cleaner: Cleaner, need: YarnNeed) -> tuple[str, ...]:
    """Return the balls to have ready, colour by colour where there are several."""
    if len(need.colours) <= 1:
        likely, buy = need.balls_likely, need.balls_to_buy
        spare = "" if likely == buy else f"; {likely} may do"
        return (f"have {balls_text(buy)}{spare}",)
    return tuple(
        f"{cleaner.line(one.colour, 'colour', LONGEST_NAME) or 'main colour'}:"
        f" have {balls_text(one.balls_to_buy)}"
        for one in need.colours
    )


def facts_of(cleaner: Cleaner, job: Job, plan: Plan) -> Facts:
    """Return yarn, hook, gauge and time."""
    yarn, need = job.yarn, plan.yarn
    lot = cleaner.line(yarn.lot, "lot", LONGEST_NAME)
    tasks = [task for task in plan.labour.tasks if round(task.minutes)]
    parts = ", ".join(f"{task.name} {minutes_text(task.minutes)}" for task in tasks)
    return Facts(
        yarn=(
            cleaner.line(yarn.name, "yarn", LONGEST_NAME) or "Yarn without a name",
            f"lot {lot}" if lot else "lot: write it here ________",
            fibres_text(yarn.fibres),
        ),
        amount=(
            yarn_length_text(need.metres, job.unit),
            spread_text(need.grams, "g"),
            *_balls(cleaner, need),
        ),
        hook=hook_text(plan.hook_mm),
        gauge=_gauge_lines(plan),
        gauge_word=GAUGE_WORD[job.terms].capitalize(),
        time=f"Time {minutes_text(plan.labour.minutes)}: {parts}.",
    )


def notes_of(cleaner: Cleaner, job: Job) -> tuple[str, ...]:
    """Return the order's notes as lines that fit the ticket."""
    notes = cleaner.lines(job.notes, "notes", LONGEST_NOTES)
    if len(notes) <= MOST_NOTE_LINES:
        return notes
    cleaner.warnings.append(f"notes: cut to {MOST_NOTE_LINES} lines.")
    return (*notes[: MOST_NOTE_LINES - 1], ELLIPSIS)
