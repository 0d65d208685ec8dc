"""Where a number comes from.

A maker works for hours on these numbers, so none may stand in the code bare: each is a
`Fact` with its origin. A test walks the syntax tree of `sizing` and refuses a number
that is neither plain arithmetic nor inside a `Fact`.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final


class Grade(StrEnum):
    """How a number is known, strongest first."""

    PUBLISHED = "published"
    DERIVED = "derived"
    PRACTICE = "common practice, no source"
    MEMORY = "from memory"


@dataclass(frozen=True, slots=True)
class Origin:
    """The grade of a number and the source, derivation or remark that goes with it."""

    grade: Grade
    text: str = ""

    def __str__(self) -> str:
        """Return the sentence printed beside the number."""
        return f"{self.grade}: {self.text}" if self.text else str(self.grade)


@dataclass(frozen=True, slots=True)
class Fact:
    """One number of the trade: its value, its unit in words, and its origin."""

    value: float
    unit: str
    origin: Origin


def published(text: str) -> Origin:
    """Return the origin of a number read in a source (author, year, title)."""
    return Origin(Grade.PUBLISHED, text)


def derived(text: str) -> Origin:
    """Return the origin of a number worked out; the text says how."""
    return Origin(Grade.DERIVED, text)


def practice(text: str = "") -> Origin:
    """Return the origin of a number that makers use and nobody has published."""
    return Origin(Grade.PRACTICE, text)


def memory(text: str = "") -> Origin:
    """Return the origin of a number still to be verified."""
    return Origin(Grade.MEMORY, text)


LONGEST_SHOWN: Final = Fact(60, "characters", practice("enough to know one's own words again"))


def shown(text: str) -> str:
    """Return a text as given, cut to a length that a message can show."""
    return text[: int(LONGEST_SHOWN.value)]
