"""Rows as a table: what they say stands once under a letter, each row has that letter and numbers.

For hoods of many hundreds of rows, whose sentences would fill too many pages. Nothing is dropped:
letter and numbers give the sentence back, and the sentences stand again on each page that the rows
run on to.
"""

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from string import ascii_lowercase
from typing import Final

from documents.fonts import BOLD, REGULAR
from documents.text import Line
from documents.ticket_rows import Item, Pair, Section, Step, in_colour, letters
from documents.ticket_short import short_text

LEAST_ROWS: Final = 2
"""Rows of one sentence from which on it is said once; a single one keeps its own words."""
MOST_SPOKEN: Final = 6
"""Sentences that may name their colour; where they were more, each row has its colour's letter."""
MOST_LEFT: Final = 4
"""Rows that may keep their own words because few others say the same in their colour."""
_STRETCH: Final = re.compile(r"(?<=\bin )\d+")
"""The stitches of a stretch, which differ from row to row."""
TABLE_KEY: Final = (
    "Tables: a row has the letter of the sentence above it, the numbers for n, m … in their order,"
    " and at its end the sts."
)
"""How a row is read."""
_NUMBERS: Final = "nmkpqrstuvwxyz"

Words = tuple[str, ...]
"""The pieces of a sentence between its stretches."""
Key = tuple[Words, str]
"""A sentence and its colour."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """What some rows of a section say, with letters for the numbers that differ.

    Attributes:
        sign: the letter by which a row names it.
        stretches: for each stretch its letter, or its number where all rows have the same.
        colour: that of all its rows; empty where there is but one, or each row names its own.
    """

    sign: str
    words: Words
    stretches: tuple[str, ...]
    colour: str = ""

    @property
    def letters(self) -> tuple[str, ...]:
        """Return the letters in the order in which a row has their numbers."""
        return tuple(dict.fromkeys(one for one in self.stretches if one in _NUMBERS))

    @property
    def title(self) -> str:
        """Return how a row looks that says it: `a`, `b n` or `c n, m, k`."""
        return f"{self.sign} {', '.join(self.letters)}".rstrip()

    @property
    def text(self) -> str:
        """Return it with its letters: `sc in n, 2 dec, sc in n`."""
        first, *rest = self.words
        said = "".join(part for pair in zip(self.stretches, rest, strict=True) for part in pair)
        return in_colour(self.colour) + first + said

    def told(self, stretches: Sequence[str]) -> str:
        """Return what a row with such stretches has: the sign and the numbers."""
        numbers = dict(zip(self.stretches, stretches, strict=True))
        return f"{self.sign} {', '.join(numbers[letter] for letter in self.letters)}".rstrip()


@dataclass(frozen=True, slots=True)
class Table:
    """What the rows of a section say.

    Attributes:
        sentences: in the order in which they come up.
        colours: the letter of each colour, where a row must name its own.
    """

    sentences: tuple[Sentence, ...]
    colours: dict[str, str]

    @property
    def phrases(self) -> Iterator[Line]:
        """Yield the colours and the sentences, each to be read in one go."""
        if self.colours:
            named = ", ".join(f"{sign} {colour}" for colour, sign in self.colours.items())
            yield ((f"Colours: {named}.", REGULAR),)
        for one in self.sentences:
            yield ((f"{one.title}:", BOLD), (f"{one.text}.", REGULAR))


def _parts(step: Step) -> tuple[Words, tuple[str, ...]]:
    """Return the pieces of a row's short sentence between its stretches, and these."""
    said = short_text(step.plain)
    return tuple(_STRETCH.split(said)), tuple(_STRETCH.findall(said))


def _colour(step: Step) -> str:
    """Return the colour that a row must name: none where all of its section share one."""
    return "" if step.text == step.plain else step.colour


def _sentence(sign: str, words: Words, rows: Sequence[tuple[str, ...]], colour: str) -> Sentence:
    """Return what rows with the same words say; stretches that are always alike share a letter."""
    letters: dict[tuple[str, ...], str] = {}
    stretches = []
    for series in zip(*rows, strict=True):
        alike = len(set(series)) == 1
        stretches.append(
            series[0] if alike else letters.setdefault(series, _NUMBERS[len(letters)])
        )
    return Sentence(sign, words, tuple(stretches), colour)


def _groups(steps: Sequence[Step], *, coloured: bool) -> dict[Key, list[tuple[str, ...]]]:
    """Return the stretches of the rows that say the same, where they are enough.

    Args:
        steps: the rows of a section.
        coloured: whether the same words in another colour are another sentence.
    """
    found: defaultdict[Key, list[tuple[str, ...]]] = defaultdict(list)
    for step in steps:
        words, stretches = _parts(step)
        if len(stretches) <= len(_NUMBERS):
            found[words, _colour(step) if coloured else ""].append(stretches)
    enough = [key for key in found if len(found[key]) >= LEAST_ROWS]
    return {key: found[key] for key in enough[: len(ascii_lowercase)]}


def _table(steps: Sequence[Step], palette: tuple[str, ...]) -> Table:
    """Return what rows say, each sentence in its colour; where those were many, rows name it."""
    plain, spoken = (_groups(steps, coloured=coloured) for coloured in (False, True))
    left = sum(map(len, plain.values())) - sum(map(len, spoken.values()))
    few = len(spoken) <= MOST_SPOKEN and left <= MOST_LEFT
    groups = spoken if few else plain
    return Table(
        tuple(
            _sentence(sign, words, rows, colour)
            for sign, ((words, colour), rows) in zip(ascii_lowercase, groups.items(), strict=False)
        ),
        {} if few else letters(map(_colour, steps), palette),
    )


def _flat(items: Sequence[Item]) -> Iterator[Item]:
    for item in items:
        if isinstance(item, Pair):
            yield from (item.first, item.second)
        else:
            yield item


def _told(step: Step, table: Table) -> Step:
    """Return a row with the sign and the numbers of its sentence, or as it is if it has none."""
    colour = _colour(step)
    if table.colours and colour not in table.colours:
        return step
    words, stretches = _parts(step)
    key = (words, "" if table.colours else colour)
    for sentence in table.sentences:
        if (sentence.words, sentence.colour) == key:
            text = f"{table.colours.get(colour, '')} {sentence.told(stretches)}".lstrip()
            return replace(step, text=text, count=step.count.partition(" ")[0], coded=True)
    return step


def tabled(section: Section) -> tuple[Section, Table | None]:
    """Return a section whose rows name their sentence, and its table; None where it needs none."""
    items = tuple(_flat(section.items))
    table = _table([item for item in items if isinstance(item, Step)], section.palette)
    if not table.sentences:
        return section, None
    told = (_told(item, table) if isinstance(item, Step) else item for item in items)
    return replace(section, items=tuple(told)), table
