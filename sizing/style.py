"""How a maker works and reads: turning chain, terms, the hand that holds the hook."""

from dataclasses import dataclass
from enum import IntEnum, StrEnum
from typing import Final


class Terms(StrEnum):
    """The language of crochet terms; the same word names different stitches in each."""

    US = "US"
    UK = "UK"


class Hand(StrEnum):
    """The hand that holds the hook; a left-hander's work is a right-hander's in the mirror."""

    RIGHT = "right"
    LEFT = "left"


class Turning(IntEnum):
    """The chains made after each turn; none is common practice and gives a smoother edge."""

    NONE = 0
    ONE = 1


@dataclass(frozen=True, slots=True)
class Style:
    """One maker's way.

    Attributes:
        turning: chains after each turn; they are no stitches. It changes the pattern's data,
            and the swatch must be made in the same way.
        terms: the language of the sentences.
        hand: changes words of direction and the reading of a chart, no stitch and no count.
    """

    turning: Turning = Turning.NONE
    terms: Terms = Terms.US
    hand: Hand = Hand.RIGHT


PLAIN_STYLE: Final = Style()
