"""The rows of a pattern, folded for the eye: what repeats is said once, with a box each.

No row is lost by the folding: each has its own number, its own box and its stitch count.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Final

from sizing.rows import DECREASES, Part, Row
from sizing.wording import Terms, counted, round_word, row_text

MOST_COLOURS: Final = 26
"""Colours that can be told apart by a letter."""
LEAST_STRIP: Final = 4
"""Rows alike from which on they are folded; fewer are as quickly read one by one."""
GROUP: Final = 10


def in_colour(colour: str) -> str:
    """Return the words with which a row's instruction names its colour, if it has one."""
    return f"In {colour}: " if colour else ""


@dataclass(frozen=True, slots=True)
class Step:
    """One row: its number, side, instruction, stitches after it, and whether it decreases.

    `word` is what it is called: a row, or a round; `colour` is named in the instruction too.
    """

    row: int
    side: str
    text: str
    count: str
    shaped: bool = False
    word: str = "Row"
    colour: str = ""

    @property
    def plain(self) -> str:
        """Return the instruction without its colour."""
        return self.text.removeprefix(in_colour(self.colour))


@dataclass(frozen=True, slots=True)
class Pair:
    """A right side row and the wrong side row after it, the rhythm of the hood."""

    first: Step
    second: Step


@dataclass(frozen=True, slots=True)
class Strip:
    """Rows or rounds that are all alike: one instruction and a box for each.

    Attributes:
        colours: that of each row, where they differ; the instruction then names none.
    """

    first: int
    last: int
    text: str
    count: str
    word: str = "Row"
    colours: tuple[str, ...] = ()

    @property
    def signs(self) -> dict[str, str]:
        """Return the letter of each colour, in the order of the rows."""
        return dict(zip(dict.fromkeys(self.colours), ascii_uppercase, strict=False))

    def sentence(self, row: int) -> str:
        """Return the whole instruction of one of the rows."""
        colour = self.colours[row - self.first] if self.colours else ""
        return in_colour(colour) + self.text

    @property
    def told(self) -> str:
        """Return the instruction with the rows of each colour, where they differ."""
        rows: dict[str, list[str]] = {}
        for row, colour in enumerate(self.colours, start=self.first):
            rows.setdefault(colour, []).append(str(row))
        named = (f" In {colour}: {', '.join(found)}." for colour, found in rows.items())
        return self.text + "".join(named)

    @property
    def sides(self) -> str:
        """Return which rows show which side; rounds always show the right one."""
        return "Odd rows RS, even rows WS." if self.word == "Row" else "RS facing."

    @property
    def title(self) -> str:
        """Return the first and the last row: `2-40` with an en dash."""
        return f"{self.first}\u2013{self.last}"


@dataclass(frozen=True, slots=True)
class Check:
    """A moment at which the work is measured: when, what, and the length to see."""

    when: str
    what: str
    value: str


@dataclass(frozen=True, slots=True)
class Mark:
    """A remark between two rows."""

    text: str


@dataclass(frozen=True, slots=True)
class Todo:
    """Something to do that is no row."""

    text: str


Item = Step | Pair | Strip | Check | Mark | Todo


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the work: its heading, what is done before it, and its items in order."""

    title: str
    opening: str
    items: tuple[Item, ...]


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


def _strip(steps: tuple[Step, ...]) -> Strip:
    """Return steps that are alike as one strip."""
    first, last = steps[0], steps[-1]
    colours = tuple(step.colour for step in steps)
    if len(set(colours)) == 1:
        return Strip(first.row, last.row, first.text, first.count, first.word)
    return Strip(first.row, last.row, first.plain, first.count, first.word, colours)


def folded(steps: tuple[Step, ...], stops: frozenset[int]) -> Iterator[Item]:
    """Yield steps as strips, pairs and single steps; nothing is folded across a stop."""
    at = 0
    plain: str | None = None
    while at < len(steps):
        run = _alike(steps, at, stops)
        if run >= LEAST_STRIP:
            yield _strip(steps[at : at + run])
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
    part: Part, terms: Terms, checks: dict[int, tuple[Check, ...]], marks: dict[int, Mark]
) -> tuple[Item, ...]:
    """Return a part's rows folded, with its checks after their row and marks before theirs.

    Args:
        part: the part of the pattern.
        terms: US or UK.
        checks: by the row after which the work is measured.
        marks: by the row before which the remark stands.
    """
    steps = tuple(step_of(part, row, terms) for row in part.rows)
    stops = frozenset(checks) | frozenset(row - 1 for row in marks)
    found: list[Item] = []
    for item in folded(steps, stops):
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
