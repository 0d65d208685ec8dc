"""The rows of a pattern, folded for the eye: what repeats is said once, with a box each.

No row is lost by the folding: each has its own number, its own box and its stitch count.
"""

from collections.abc import Iterator
from typing import Final

from documents.ticket_rows import MOST_COLOURS, Check, Item, Mark, Pair, Step, Strip
from sizing.rows import DECREASES, Part, Row
from sizing.wording import Terms, counted, round_word, row_text

LEAST_STRIP: Final = 4
"""Rows alike from which on they are folded; fewer are as quickly read one by one."""


def step_of(part: Part, row: Row, terms: Terms) -> Step:
    """Return one row as a step; the count leaves the sentence for a column of its own."""
    text, _, count = row_text(part.part, row, terms).partition(" (")
    shaped = any(operation.op in DECREASES for operation in row.operations)
    word = round_word(part).capitalize()
    return Step(row.row, row.side.value, text, count.rstrip(")"), shaped, word, row.colour)


def _alike(steps: tuple[Step, ...], start: int, stops: frozenset[int]) -> int:
    """Return how many steps from `start` on are one instruction in whatever colours.

    None of them comes after a stop.
    """
    first = steps[start]
    end = start
    while end < len(steps) and (steps[end].plain, steps[end].count) == (first.plain, first.count):
        end += 1
        colours = {step.colour for step in steps[start:end]}
        if steps[end - 1].row in stops or len(colours) == MOST_COLOURS:
            break
    return end - start


def _pairs(steps: tuple[Step, ...], at: int, stops: frozenset[int], plain: str | None) -> bool:
    """Return whether a step and the next are a pair; `plain` is what all second rows say.

    Where the ticket is full the plain row's sentence is said once for all, so a second row that
    says anything else stands alone.
    """
    first = steps[at]
    if at + 1 == len(steps) or first.row in stops or first.row % 2 == 0 or first.word != "Row":
        return False
    second = steps[at + 1].text
    return ", " not in second if plain is None else second == plain


def _strip(steps: tuple[Step, ...], palette: tuple[str, ...]) -> Strip:
    """Return steps that are alike as one strip."""
    first, last = steps[0], steps[-1]
    colours = tuple(step.colour for step in steps)
    if len(set(colours)) == 1:
        return Strip(first.row, last.row, first.text, first.count, first.word)
    return Strip(first.row, last.row, first.plain, first.count, first.word, colours, palette)


def folded(
    steps: tuple[Step, ...], stops: frozenset[int], palette: tuple[str, ...] = ()
) -> Iterator[Item]:
    """Yield steps as strips, pairs and single steps; nothing is folded across a stop."""
    at = 0
    plain: str | None = None
    while at < len(steps):
        run = _alike(steps, at, stops)
        if run >= LEAST_STRIP:
            yield _strip(steps[at : at + run], palette)
            at += run
        elif _pairs(steps, at, stops, plain):
            plain = steps[at + 1].text
            yield Pair(steps[at], steps[at + 1])
            at += 2
        else:
            yield steps[at]
            at += 1


def last_row(item: Item) -> int:
    """Return the row after which an item is done, 0 for what is no row."""
    if isinstance(item, Step):
        return item.row
    if isinstance(item, Pair):
        return item.second.row
    return item.last if isinstance(item, Strip) else 0


def items_of(
    part: Part,
    terms: Terms,
    checks: dict[int, tuple[Check, ...]],
    marks: dict[int, Mark],
    palette: tuple[str, ...] = (),
) -> tuple[Item, ...]:
    """Return a part's rows folded, with its checks after their row and marks before theirs.

    Args:
        part: the part of the pattern.
        terms: US or UK.
        checks: by the row after which the work is measured.
        marks: by the row before which the remark stands.
        palette: all colours of the hood.
    """
    steps = tuple(step_of(part, row, terms) for row in part.rows)
    stops = frozenset(checks) | frozenset(row - 1 for row in marks)
    found: list[Item] = []
    for item in folded(steps, stops, palette):
        found.append(item)
        found.extend(checks.get(last_row(item), ()))
        if last_row(item) + 1 in marks:
            found.append(marks[last_row(item) + 1])
    return tuple(found)


def seam_items(part: Part, terms: Terms) -> tuple[Item, ...]:
    """Return the one row of a seam; what it leaves is no count, so it shows its stitches."""
    return tuple(
        Step(
            row.row,
            row.side.value,
            row_text(part.part, row, terms),
            counted(sum(operation.count for operation in row.operations)),
        )
        for row in part.rows
    )
