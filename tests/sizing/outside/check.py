"""A check against something outside the project: what it says, what we say, how far apart.

Each row of `docs/evidence.md` is one `Check`, and each is a test (`test_outside.py`). What stands
outside is typed here, with its source, or reckoned by a general library; what is ours is always
reckoned by our own code. A row that does not agree says why, and the test fails once it does.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from math import inf

Value = float | tuple[float, float] | str
"""A number, a span from low to high (an end may be infinite), or a word."""

DUST = 1e-9
"""The share, or the amount, below which a difference is a float's and is shown as 0."""


class Strength(StrEnum):
    """How strong a source is, strongest first."""

    A = "A"
    LIBRARY = "library"
    B = "B"
    C = "C"
    D = "D"
    PRACTICE = "practice"
    MEMORY = "memory"


MEANING = {
    Strength.A: "law, standard, government or peer-reviewed paper",
    Strength.LIBRARY: "a general library reckons the same by its own way, on the same assumptions",
    Strength.B: "a trade body's or kennel body's table as others reproduce it, or a handbook",
    Strength.C: "one person's tutorial, measurement or report",
    Strength.D: "very weak: a seller's or a forum's word",
    Strength.PRACTICE: "common practice, no source",
    Strength.MEMORY: "from memory, not seen: a lead, no proof",
}


@dataclass(frozen=True, slots=True)
class Source:
    """Who says it: author, year, title; how strong it is; how much of it was read."""

    text: str
    strength: Strength
    seen: str = ""


@dataclass(frozen=True, slots=True)
class Within:
    """How far apart ours and theirs may be: an amount, or a share of theirs; and why so far."""

    amount: float = 0.0
    share: float = 0.0
    why: str = ""


SAME = Within()


@dataclass(frozen=True, slots=True)
class Check:
    """One row.

    Attributes:
        key: the name of its test.
        what: what is checked.
        source: what stands outside.
        there: the value there, or how a library reckons it.
        ours: reckons our value.
        unit: of both; empty for a word.
        within: the tolerance; a span has one beyond its ends.
        taken: whether our number was made from this very figure: then the row shows that it
            was carried over rightly, not that it is true of the world.
        differs: why it does not agree; empty where it does.
        also: a further test that holds it, `file.py::function`.
        digits: significant digits shown.
    """

    key: str
    what: str
    source: Source
    there: Value | Callable[[], Value]
    ours: Callable[[], Value]
    unit: str
    within: Within = SAME
    taken: bool = False
    differs: str = ""
    also: str = ""
    digits: int = 4


@dataclass(frozen=True, slots=True)
class Result:
    """Both values; how far ours lies from theirs, beyond the end of a span; whether they agree.

    Attributes:
        apart: ours less theirs, in the unit; None for words.
        share: the same as a share of theirs; None where theirs is 0, or a word.
    """

    there: Value
    ours: Value
    apart: float | None
    share: float | None
    agrees: bool


def _ends(value: float | tuple[float, float]) -> tuple[float, float]:
    return value if isinstance(value, tuple) else (value, value)


def _gaps(there: float | tuple[float, float], ours: float | tuple[float, float]) -> list[
    tuple[float, float]
]:  # fmt: skip
    """Return each difference, beside the number of theirs that it is a difference from."""
    low, high = _ends(there)
    if isinstance(ours, tuple):
        return [(ours[0] - low, low), (ours[1] - high, high)]
    if low <= ours <= high:
        return [(0.0, low if low > -inf else high)]
    return [(ours - high, high)] if ours > high else [(ours - low, low)]


def compare(there: Value, ours: Value, within: Within) -> Result:
    """Return how far ours is from theirs, and whether that is within the tolerance.

    Raises:
        TypeError: if a word is compared with a number.
    """
    if isinstance(there, str) or isinstance(ours, str):
        if not (isinstance(there, str) and isinstance(ours, str)):
            raise TypeError("A word cannot be compared with a number.")
        return Result(there, ours, None, None, there == ours)
    gaps = _gaps(there, ours)
    agrees = all(
        abs(gap) <= max(within.amount, within.share * abs(base)) + DUST * max(1.0, abs(base))
        for gap, base in gaps
    )
    gap, base = max(gaps, key=lambda pair: abs(pair[0]))
    return Result(there, ours, gap, gap / abs(base) if base else None, agrees)


def result_of(check: Check) -> Result:
    """Return what a row comes to."""
    there = check.there() if callable(check.there) else check.there
    return compare(there, check.ours(), check.within)
