"""The work of a ticket in its order: swatch, collar, joining, hood, closing, finishing."""

from collections import defaultdict
from dataclasses import dataclass
from math import ceil

from documents.figures import gauge_text, span_text, tolerance_text
from documents.ticket_folding import items_of, seam_items
from documents.ticket_rows import Check, Item, Mark, Section, Todo
from sizing.addons import SAFETY
from sizing.checkpoints import shape_checkpoints
from sizing.dogs import Risk
from sizing.gauge import SPAN
from sizing.machine import tally
from sizing.material import SWATCH_SIDE
from sizing.plan import Plan
from sizing.rows import ADD_ONS, SEAMS, Op, Part, PartName, Pattern
from sizing.style import Hand
from sizing.units import LengthUnit, show_length
from sizing.wording import (
    GAUGE_WORD,
    Terms,
    part_closing,
    part_opening,
    part_title,
    stitch_name,
)


@dataclass(frozen=True, slots=True)
class SwatchView:
    """The swatch to make first.

    Attributes:
        banner: why the work begins with it.
        steps: what to do, in order.
        fabrics: the two fabrics, each with the gauge that the ticket was reckoned with.
        span: the span to count over.
    """

    banner: str
    steps: tuple[str, ...]
    fabrics: tuple[tuple[str, str], ...]
    span: str


def swatch_view(plan: Plan, terms: Terms, unit: LengthUnit) -> SwatchView:
    """Return the swatch step of an untested gauge."""
    gauge, word, over = plan.gauge, GAUGE_WORD[terms], span_text(unit)
    side = show_length(SWATCH_SIDE.value, unit)
    rib = ceil(SWATCH_SIDE.value / SPAN.value * gauge.rib_stitches)
    plain = ceil(SWATCH_SIDE.value / SPAN.value * gauge.plain_stitches)
    blo, sc = stitch_name(Op.SC_BLO, terms), stitch_name(Op.SC, terms)
    return SwatchView(
        banner=f"Untested {word}: swatch first",
        steps=(
            (
                f"Rib: chain {rib + 1}, work {blo} on {rib} sts until {side} high."
                f" Plain: chain {plain + 1}, work {sc} on {plain} sts until {side} high."
            ),
            (
                f"Wash and dry both as the hood will be. Count stitches and rows over {over} in"
                " the middle of each and write them here. Weigh the plain one before you go on."
            ),
            (
                "Enter the counts in the order and print a new ticket. More stitches than"
                " expected: try a larger hook; fewer: a smaller one."
            ),
        ),
        fabrics=(
            ("Rib", gauge_text(gauge.rib_stitches, gauge.rib_rows)),
            ("Plain", gauge_text(gauge.plain_stitches, gauge.plain_rows)),
        ),
        span=over,
    )


def _checks(plan: Plan, part: PartName, unit: LengthUnit) -> dict[int, tuple[Check, ...]]:
    found: defaultdict[int, tuple[Check, ...]] = defaultdict(tuple)
    for point in plan.checkpoints:
        if point.part is part:
            near = tolerance_text(point.tolerance_mm, unit)
            check = Check(
                when=f"after row {point.row}",
                what=point.name[0].upper() + point.name[1:],
                value=f"{show_length(point.mm, unit)} ({near})",
            )
            found[point.row] += (check,)
    return dict(found)


def _opening(plan: Plan, part: Part, terms: Terms, hand: Hand, unit: LengthUnit) -> str:
    """Return what is done before the first row; of a shape to sew on, its size too."""
    said = part_opening(part, terms, hand)
    if part.part not in ADD_ONS:
        return said
    points = shape_checkpoints(part, plan.gauge)
    sizes = [f"{show_length(point.mm, unit)} {point.name}" for point in points]
    return f"{said} It measures {' and '.join(sizes)}."


def _marks(plan: Plan, part: PartName) -> dict[int, Mark]:
    crown = plan.rows.crown_row
    if part is not PartName.HOOD or crown > plan.rows.hood_rows:
        return {}
    return {crown: Mark(f"The crown begins with row {crown}")}


def _palette(pattern: Pattern) -> tuple[str, ...]:
    """Return all colours of a hood in the order in which they are worked."""
    named = (row.colour for part in pattern.parts for row in part.rows if row.colour)
    return tuple(dict.fromkeys(named))


def _section(plan: Plan, part: Part, terms: Terms, hand: Hand, unit: LengthUnit) -> Section:
    palette = _palette(plan.pattern)
    items: tuple[Item, ...]
    if part.part in SEAMS:
        items = seam_items(part, terms)
    else:
        checks, marks = _checks(plan, part.part, unit), _marks(plan, part.part)
        items = items_of(part, terms, checks, marks, palette)
    closing = part_closing(part)
    items = (*items, Todo(closing)) if closing else items
    opening = _opening(plan, part, terms, hand, unit)
    return Section(part_title(part.part), opening, items, palette)


def rest_sections(rest: Pattern, terms: Terms, hand: Hand, row: int) -> tuple[Section, ...]:
    """Return the work that is left of a hood, part by part.

    Args:
        rest: the parts from the one in hand on, that one without the rows that are made.
        terms: US or UK.
        hand: that holds the hook.
        row: the last row of the part in hand that stays; 0 where it is begun anew.
    """
    found = []
    for place, part in enumerate(rest.parts):
        rows = seam_items(part, terms) if part.part in SEAMS else items_of(part, terms, {}, {})
        going_on = place == 0 and row > 0
        opening = f"Go on after row {row}." if going_on else part_opening(part, terms, hand)
        closing = part_closing(part)
        items = (*rows, Todo(closing)) if closing else rows
        found.append(Section(part_title(part.part), opening, items))
    return tuple(found)


def _sewn_on(pattern: Pattern) -> tuple[Section, ...]:
    """Return what is to be minded where something is sewn on."""
    if not any(part.part in ADD_ONS for part in pattern.parts):
        return ()
    return (Section("Safety of what is sewn on", "", tuple(Todo(text) for text in SAFETY)),)


def _tried_on(pattern: Pattern) -> str:
    """Return how the hood is tried on: over the head, or closed round the neck."""
    if any(part.overlap for part in pattern.parts):
        return (
            "Try it on, buttoned: two fingers slide under the collar, and each button holds"
            " when pulled; eyes, nose, mouth free."
        )
    return "Try it on over the head: it slips on without force; eyes, nose, mouth free."


def _finishing(pattern: Pattern, hood: str) -> Section:
    ends = sum(work.ends for work in tally(pattern))
    return Section(
        "Finishing",
        "",
        (
            Todo(f"Weave in all {ends} ends, each there and back. Pull: nothing may come loose."),
            Todo(_tried_on(pattern)),
            Todo("Wash it as the care sheet says, dry it flat, measure it once more."),
            Todo(f"Sew in or tie on the label with hood number {hood}."),
        ),
    )


def _handing_over(risks: frozenset[Risk]) -> Section:
    own = ", ".join(sorted(risk.value for risk in risks))
    items = [
        Todo("The care and supervision sheet goes with the hood."),
        Todo(
            "Say it too: never alone, never asleep, never on a lead by it, not in heat or hard"
            " exercise; off at once at any sign of stress."
        ),
    ]
    if own:
        items.append(Todo(f"This dog: {own}. Go through its lines of the sheet with the buyer."))
    return Section("Handing over", "", tuple(items))


def sections_of(
    plan: Plan, terms: Terms, hand: Hand, unit: LengthUnit, hood: str
) -> tuple[Section, ...]:
    """Return the work after the swatch, section by section in the order of work."""
    parts = tuple(_section(plan, part, terms, hand, unit) for part in plan.pattern.parts)
    finishing = _finishing(plan.pattern, hood)
    return (*parts, *_sewn_on(plan.pattern), finishing, _handing_over(plan.profile.risks))
