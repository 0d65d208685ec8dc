"""Rows of a chart that go on as the two below them, folded into one line."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from documents.chart_rows import ChartRow

LEAST_FOLDED: Final = 4
"""Fewer rows than this are as quickly read drawn out."""


@dataclass(frozen=True, slots=True)
class Fold:
    """Rows that are not drawn: their numbers, the text in their place, how wide they are."""

    first: int
    last: int
    text: str
    wide: int


Line = ChartRow | Fold


def _goes_on(rows: Sequence[ChartRow], place: int) -> bool:
    """Return whether a row looks as the second one below it, and begins at the same side."""
    if place < 2 or not rows[place - 2].number:  # noqa: PLR2004 - the second below
        return False
    here, there = rows[place], rows[place - 2]
    letter = here.label.lstrip("0123456789") == there.label.lstrip("0123456789")
    same = (here.turn, here.count) == (there.turn, there.count)
    return letter and same and here.from_right == there.from_right and here.looks == there.looks


def _text(first: ChartRow, last: ChartRow) -> str:
    low, high = first.number - 2, first.number - 1
    return f"rows {first.number}\u2013{last.number} as rows {low}\u2013{high}"


def folded(rows: Sequence[ChartRow]) -> tuple[Line, ...]:
    """Return the rows with each long stretch that repeats two rows as a fold."""
    lines: list[Line] = []
    place = 0
    while place < len(rows):
        end = place
        while end < len(rows) and _goes_on(rows, end):
            end += 1
        end -= (end - place) % 2  # whole pairs; an odd last row is drawn
        if end - place >= LEAST_FOLDED:
            first, last = rows[place], rows[end - 1]
            wide = len(last.stitches)
            lines.append(Fold(first.number, last.number, _text(first, last), wide))
            place = end
        else:
            lines.append(rows[place])
            place += 1
    return tuple(lines)
