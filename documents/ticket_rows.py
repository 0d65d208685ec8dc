"""What a section of the ticket is made of: rows, rows that are alike, checks, things to do."""

from collections.abc import Iterable
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Final

MOST_COLOURS: Final = 26
"""Colours that can be told apart by a letter."""
GROUP: Final = 10


def letters(colours: Iterable[str], palette: tuple[str, ...]) -> dict[str, str]:
    """Return the letter of each colour: its own in the palette, where there are letters enough.

    More colours than letters have them by their order here, and the last ones none.
    """
    here = dict.fromkeys(colours)
    every = palette if len(palette) <= MOST_COLOURS else tuple(here)
    return {one: sign for one, sign in zip(every, ascii_uppercase, strict=False) if one in here}


def in_colour(colour: str) -> str:
    """Return the words with which a row's instruction names its colour, if it has one."""
    return f"In {colour}: " if colour else ""


@dataclass(frozen=True, slots=True)
class Step:
    """One row: its number, side, instruction, stitches after it, and whether it decreases.

    `word` is what it is called: a row, or a round; `colour` is named in the instruction too, if
    that is not `coded`: then it names a sentence that stands above.
    """

    row: int
    side: str
    text: str
    count: str
    shaped: bool = False
    word: str = "Row"
    colour: str = ""
    coded: bool = False

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
        palette: all colours of the hood, so that a letter is the same colour everywhere on it.
    """

    first: int
    last: int
    text: str
    count: str
    word: str = "Row"
    colours: tuple[str, ...] = ()
    palette: tuple[str, ...] = ()

    @property
    def turns(self) -> str:
        """Return the colours in words where they take turns with each row, else nothing."""
        odd, even = self.colours[1 - self.first % 2 :: 2], self.colours[self.first % 2 :: 2]
        if len(set(odd)) != 1 or len(set(even)) != 1:
            return ""
        rows = f"{self.word.lower()}s"
        return f"Odd {rows} in {odd[0]}, even {rows} in {even[0]}."

    @property
    def signs(self) -> dict[str, str]:
        """Return the letter of each colour in the order of the rows, where the boxes need it."""
        return {} if self.turns else letters(self.colours, self.palette)

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
    """A part of the work: its heading, what is done before it, and its items in order.

    `palette` holds all colours of the hood.
    """

    title: str
    opening: str
    items: tuple[Item, ...]
    palette: tuple[str, ...] = ()
