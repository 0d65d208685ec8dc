"""A plan as plain text: for a terminal, or to be pasted somewhere."""

from collections.abc import Iterator

from documents.figures import hook_text, minutes_text
from service.bodies import OrderIn
from sizing.plan import Plan
from sizing.rows import Part
from sizing.units import show_length
from sizing.wording import key_for, part_closing, part_opening, part_title, round_word, row_text

_CAUTION = (
    "A hood can hurt a dog: heat, breath, pressure, swallowed yarn. Never leave a dog alone in it;"
    " ask the vet where you are in doubt."
)


def _sizes(asked: OrderIn, plan: Plan) -> Iterator[str]:
    for name in ("collar_girth", "collar_height", "nape", "face_opening", "crown"):
        if (mm := getattr(plan.finished, name)) is not None:
            yield f"  {name.replace('_', ' ')}: {show_length(mm, asked.unit)}"


def _rows(part: Part, asked: OrderIn) -> Iterator[str]:
    yield ""
    yield part_title(part.part)
    yield f"  {part_opening(part, asked.terms, asked.wishes.hand)}"
    word, same = round_word(part).capitalize(), 0
    texts = [row_text(part.part, row, asked.terms) for row in part.rows]
    for place, (row, text) in enumerate(zip(part.rows, texts, strict=True)):
        if place + 1 < len(texts) and texts[place + 1] == text:
            same += 1
            continue
        rows = f"{word}s {row.row - same} to {row.row}" if same else f"{word} {row.row}"
        same = 0
        yield f"  {rows}: {text}"
    if closing := part_closing(part):
        yield f"  {closing}"


def _lines(asked: OrderIn, plan: Plan) -> Iterator[str]:
    yield " · ".join(text for text in (asked.dog.name or "Unnamed dog", asked.dog.breed) if text)
    yield f"Yarn: {asked.yarn.name}. Hook: {hook_text(plan.hook_mm)}."
    yield "The gauge is tested." if plan.gauge.tested else "Untested gauge: make a swatch first."
    for finding in plan.findings:
        yield f"{finding.severity.capitalize()}: {finding.message}"
    yield ""
    yield "Finished size"
    yield from _sizes(asked, plan)
    yield ""
    yield f"Pattern, in {asked.terms} terms"
    for short, meaning in key_for(plan.pattern, asked.terms):
        yield f"  {short}: {meaning}"
    for part in plan.pattern.parts:
        yield from _rows(part, asked)
    yield ""
    metres, price = plan.yarn.metres, plan.price
    yield f"Yarn: {metres.low:.0f} to {metres.high:.0f} m; buy {plan.yarn.balls_to_buy} balls."
    yield f"Time: {minutes_text(plan.labour.minutes)}. Price: {price.total} {price.currency}."
    yield ""
    yield _CAUTION


def plan_text(asked: OrderIn, plan: Plan) -> str:
    """Return a plan as lines of text."""
    return "\n".join(_lines(asked, plan))
