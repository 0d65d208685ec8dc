"""The work ticket, decided: every word and figure that the drawing only has to place."""

from dataclasses import dataclass
from typing import Any

from documents.figures import (
    terms_text,
)
from documents.job import Job
from documents.pieces_view import PiecesView, pieces_view
from documents.text import Cleaner
from documents.ticket_rows import Section
from documents.ticket_sections import SwatchView, sections_of, swatch_view
from documents.ticket_short import short_key
from documents.ticket_texts import (
    LONGEST_NAME,
    Facts,
    Head,
    MeasureLine,
    facts_of,
    head_of,
    measures_of,
    minding_of,
    notes_of,
    remarks_of,
)
from sizing.plan import Plan
from sizing.rows import Op
from sizing.wording import hand_notes, key_for, stitch_name


@dataclass(frozen=True, slots=True)
class TicketView:
    """A work ticket with nothing left to decide.

    Attributes:
        swatch: the swatch to make first, or None where the gauge is tested.
        warnings: what had to be changed in typed texts, for the maker's screen.
    """

    title: str
    maker: str
    terms: str
    head: Head
    measures: tuple[MeasureLine, ...]
    minding: str
    remarks: tuple[str, ...]
    notes: tuple[str, ...]
    facts: Facts
    pieces: PiecesView
    key: tuple[tuple[str, str], ...]
    hand_notes: tuple[str, ...]
    short_key: str
    swatch: SwatchView | None
    sections: tuple[Section, ...]
    warnings: tuple[str, ...]


def _texts(cleaner: Cleaner, job: Job, plan: Plan) -> dict[str, Any]:
    """Return the parts of a ticket that hold what somebody typed."""
    return {
        "maker": cleaner.line(job.maker.name, "maker", LONGEST_NAME),
        "head": head_of(cleaner, job, plan),
        "measures": measures_of(cleaner, job, plan),
        "remarks": remarks_of(cleaner, job, plan),
        "notes": notes_of(cleaner, job),
        "facts": facts_of(cleaner, job, plan),
    }


def ticket_warnings(job: Job, plan: Plan) -> tuple[str, ...]:
    """Return the warnings of a job's ticket, without working out its rows."""
    cleaner = Cleaner()
    _texts(cleaner, job, plan)
    return tuple(cleaner.warnings)


def ticket_view(job: Job, plan: Plan) -> TicketView:
    """Return the work ticket of a job.

    Args:
        job: the order; its measurements and unit are those the plan was made from.
        plan: the sizing plan.

    Returns:
        All texts cleaned, all lengths in the order's unit.
    """
    cleaner = Cleaner()
    texts = _texts(cleaner, job, plan)
    hood = texts["head"].hood
    return TicketView(
        **texts,
        title=f"Work ticket, hood {hood}",
        terms=terms_text(job.terms),
        minding=minding_of(plan),
        pieces=pieces_view(plan, job.unit),
        key=key_for(plan.pattern, job.terms),
        hand_notes=hand_notes(job.hand),
        short_key=short_key(stitch_name(Op.SC, job.terms)),
        swatch=None if plan.gauge.tested else swatch_view(plan, job.terms, job.unit),
        sections=sections_of(plan, job.terms, job.hand, job.unit, hood),
        warnings=tuple(cleaner.warnings),
    )
