"""Stripes: a colour for each block of rows.

The yarn is cut at each change: strands carried up a front edge would be loops to catch a claw.
"""

import unicodedata
from dataclasses import dataclass
from itertools import chain, cycle, islice
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, practice

LONGEST_COLOUR: Final = Fact(30, "characters", practice("it stands before each row"))
_SCRIPTS: Final = ("LATIN ", "GREEK ", "CYRILLIC ")
_JOINTS: Final = frozenset(" -'")


def check_colour(name: str) -> None:
    """Refuse a colour's name that cannot stand before a row.

    Letters of a European script, and space, hyphen and apostrophe between them: a figure or a
    bracket could be read as stitches.
    """
    letters = [sign for sign in name if sign not in _JOINTS]
    written = all(unicodedata.name(s, "").startswith(_SCRIPTS) and s.isalpha() for s in letters)
    plain = written and name == name.strip() and 0 < len(name) <= LONGEST_COLOUR.value
    if not plain or not letters:
        reason = f"Name a colour with 1 to {LONGEST_COLOUR.value:g} letters, such as: dark green."
        raise ValueOutOfRangeError("colour", reason)


@dataclass(frozen=True, slots=True)
class Stripe:
    """A block of rows in one colour."""

    colour: str
    rows: int

    def __post_init__(self) -> None:
        """Refuse a stripe of nothing."""
        check_colour(self.colour)
        if self.rows < 1:
            raise ValueOutOfRangeError("stripes", "A stripe has at least one row.")


@dataclass(frozen=True, slots=True)
class Stripes:
    """The stripes of collar and hood, each over again until the part ends.

    Attributes:
        collar: along the strip, so they stand upright on the neck.
        hood: from the collar up.
        edging: the colour of the edging; empty for the first of the hood.
    """

    collar: tuple[Stripe, ...]
    hood: tuple[Stripe, ...]
    edging: str = ""

    def __post_init__(self) -> None:
        """Refuse a part without a colour."""
        if not self.collar or not self.hood:
            raise ValueOutOfRangeError("stripes", "Collar and hood need a colour each.")
        if self.edging:
            check_colour(self.edging)

    @property
    def edging_colour(self) -> str:
        """Return the colour of the edging."""
        return self.edging or self.hood[0].colour


def colours(stripes: tuple[Stripe, ...], rows: int) -> tuple[str, ...]:
    """Return the colour of each of so many rows."""
    once = chain.from_iterable([stripe.colour] * stripe.rows for stripe in stripes)
    return tuple(islice(cycle(once), rows))
