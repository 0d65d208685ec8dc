"""A pattern as data: parts, rows, and the operations of each row in working order.

US terms throughout; `sizing.wording` says them in US or UK terms.
"""

from dataclasses import dataclass
from enum import StrEnum


class Op(StrEnum):
    """One kind of stitch.

    `sc` single crochet; `sc_blo` single crochet through the back loop only; `dec` invisible
    decrease, two stitches become one; `sl_st` slip stitch; `whip` whip stitch.
    """

    SC = "sc"
    SC_BLO = "sc_blo"
    DEC = "dec"
    SL_ST = "sl_st"
    WHIP = "whip"


class Side(StrEnum):
    """The side of the fabric that faces the maker."""

    RIGHT = "RS"
    WRONG = "WS"


class PartName(StrEnum):
    """The parts of a hood in the order of work."""

    COLLAR = "collar"
    COLLAR_SEAM = "collar_seam"
    HOOD = "hood"
    CROWN_SEAM = "crown_seam"


@dataclass(frozen=True, slots=True)
class Operation:
    """`count` stitches of one kind, one after the other."""

    op: Op
    count: int


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its number from 1, its side, its operations and the stitches after it."""

    row: int
    side: Side
    operations: tuple[Operation, ...]
    stitches: int


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the hood; only the collar has a foundation chain (in chains)."""

    part: PartName
    rows: tuple[Row, ...]
    foundation_chain: int | None = None


@dataclass(frozen=True, slots=True)
class Pattern:
    """The whole hood, in the order of work."""

    parts: tuple[Part, ...]

    def part(self, name: PartName) -> Part:
        """Return one part by its name."""
        return next(part for part in self.parts if part.part is name)
