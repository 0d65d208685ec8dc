"""A pattern as data: parts, rows, and the operations of each row in working order.

US terms throughout; `sizing.wording` says them in US or UK terms.
"""

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Final

from sizing.evidence import Fact, derived


class Op(StrEnum):
    """One kind of stitch.

    `sc` single crochet; `sc_blo` single crochet through the back loop only; `sc_ch` single
    crochet into a chain of the row below; `dec` invisible decrease and `sc2tog`, two stitches
    become one; `inc` two single crochets in one stitch; `ch` chain; `skip` a stitch left out;
    `sl_st` slip stitch; `whip` whip stitch.
    """

    SC = "sc"
    SC_BLO = "sc_blo"
    SC_CH = "sc_ch"
    DEC = "dec"
    SC2TOG = "sc2tog"
    INC = "inc"
    CH = "ch"
    SKIP = "skip"
    SL_ST = "sl_st"
    WHIP = "whip"


class Side(StrEnum):
    """The side of the fabric that faces the maker."""

    RIGHT = "RS"
    WRONG = "WS"


_SIDES: Final = (Side.WRONG, Side.RIGHT)
"""The side that faces the maker in flat work, by the remainder of a row's number by two."""


class PartName(StrEnum):
    """The parts of a hood in the order of work, then the shapes that can be sewn on."""

    COLLAR = "collar"
    COLLAR_SEAM = "collar_seam"
    HOOD = "hood"
    CROWN_SEAM = "crown_seam"
    EDGING = "edging"
    DISC = "disc"
    CONE = "cone"
    TUBE = "tube"
    LEAF = "leaf"


SEAMS: Final = frozenset({PartName.COLLAR_SEAM, PartName.CROWN_SEAM})
ADD_ONS: Final = frozenset({PartName.DISC, PartName.CONE, PartName.TUBE, PartName.LEAF})
DECREASES: Final = frozenset({Op.DEC, Op.SC2TOG})


@dataclass(frozen=True, slots=True)
class Operation:
    """`count` stitches of one kind, one after the other."""

    op: Op
    count: int


@dataclass(frozen=True, slots=True)
class Row:
    """One row or round.

    Attributes:
        row: its number from 1.
        side: the side that faces the maker; rounds always show the right side.
        operations: what is worked, in order.
        stitches: the stitches after it.
        colour: the name of its colour; empty where the hood has one colour only.
    """

    row: int
    side: Side
    operations: tuple[Operation, ...]
    stitches: int
    colour: str = ""


ROWS_KEPT: Final = Fact(
    8192,
    "rows",
    derived("judgement: the plain rows of a few hundred hoods of all sizes and yarns, 2 MB"),
)


@lru_cache(maxsize=int(ROWS_KEPT.value))
def stitches_of(op: Op, count: int) -> Operation:
    """Return `count` stitches of one kind; hoods share them: the same numbers come up often."""
    return Operation(op, count)


@lru_cache(maxsize=int(ROWS_KEPT.value))
def plain_row(row: int, op: Op, stitches: int) -> Row:
    """Return a row of one stitch in each, right side out where its number is odd.

    Most rows of every hood are such, and hoods of about one size are made of the same: they share
    them.
    """
    return Row(row, _SIDES[row % 2], (stitches_of(op, stitches),), stitches)


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the hood, or a shape to sew on.

    Attributes:
        part: which part.
        rows: in the order of work.
        foundation_chain: chains that it begins with, the turn among them; else None.
        turning_chain: chains after each turn; they are no stitches.
        overlap: rows at the end of a buttoned collar that lap over its first rows.
        rounds: whether it is worked in a spiral from a ring, right side out, never turned.
        copies: how many of it are made.
    """

    part: PartName
    rows: tuple[Row, ...]
    foundation_chain: int | None = None
    turning_chain: int = 0
    overlap: int = 0
    rounds: bool = False
    copies: int = 1


@dataclass(frozen=True, slots=True)
class Pattern:
    """The whole hood, in the order of work."""

    parts: tuple[Part, ...]

    def part(self, name: PartName) -> Part:
        """Return one part by its name."""
        return next(part for part in self.parts if part.part is name)
