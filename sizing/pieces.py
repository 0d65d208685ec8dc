"""What a hood is made of, piece by piece: stitches, chains, rows and ends by part and colour.

Yarn and time are counted from these. A variant or an add-on is one more piece.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from sizing.evidence import Fact, derived, published
from sizing.gauge import SPAN, Gauge
from sizing.machine import Replay, Tally, tally
from sizing.rows import SEAMS, Op, PartName, Pattern

ENDS: Final = Fact(4, "ends", derived("begin and end of the collar, begin and end of the hood"))
SWATCH_SIDE: Final = Fact(
    150.0, "mm", published("swatch of 12 to 20 cm, measured in the middle (tutorials)")
)
COLLAR, JOINING, HOOD, CLOSING = "collar", "joining", "hood", "closing"
SWATCH, TAILS = "swatch", "tails"
NAMES: Final = {
    PartName.COLLAR: COLLAR,
    PartName.COLLAR_SEAM: JOINING,
    PartName.HOOD: HOOD,
    PartName.CROWN_SEAM: CLOSING,
}
OF_RIB: Final = frozenset({COLLAR, JOINING})
"""Pieces whose chains and seam stitches are as wide as rib stitches."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece in one colour.

    Attributes:
        name: the part: collar, joining, hood, closing, swatch, or an add-on's own name.
        counts: stitches by kind.
        chains: foundation chains, the turn among them.
        rows: rows worked, each with its turn.
        ends: yarn ends that it leaves to weave in.
        colour: the colour's name; empty for the main colour.
        rib: whether its chains and seam stitches are as wide as rib stitches.
    """

    name: str
    counts: tuple[tuple[Op, int], ...]
    chains: int = 0
    rows: int = 0
    ends: int = 0
    colour: str = ""
    rib: bool = False


def _ends(name: str) -> int:
    """Return a part's ends: collar and hood have a beginning and an end each."""
    return int(ENDS.value) // 2 if name in {COLLAR, HOOD} else 0


def pieces_from(work: Iterable[Tally]) -> tuple[Piece, ...]:
    """Return the pieces that the work of each part makes, all copies of a part together."""
    return tuple(
        Piece(
            name=name,
            counts=one.made,
            chains=one.chains,
            rows=0 if one.part in SEAMS else one.rows,
            ends=one.ends,
            colour=one.colour,
            rib=name in OF_RIB,
        )
        for one in work
        for name in (NAMES.get(one.part, one.part.value),)
    )


def pieces_of(pattern: Pattern) -> tuple[Piece, ...]:
    """Return the pieces of a pattern in the order of work."""
    return pieces_from(tally(pattern))


def pieces_made(made: Replay) -> tuple[Piece, ...]:
    """Return the pieces of a plain hood from what the machine made; it counts no rows.

    The collar's first row is its only plain sc: one in each chain but the turn.
    """
    count = dict(made.made)
    first = max(made.chains - 1, 0)
    hood = {op: number for op, number in made.made if op not in {Op.SC_BLO, Op.SL_ST, Op.WHIP}}
    hood[Op.SC] = hood.get(Op.SC, 0) - first
    collar = ((Op.SC, first), (Op.SC_BLO, count.get(Op.SC_BLO, 0)))
    return (
        Piece(COLLAR, collar, made.chains, ends=_ends(COLLAR), rib=True),
        Piece(JOINING, ((Op.SL_ST, count.get(Op.SL_ST, 0)),), rib=True),
        Piece(HOOD, tuple(hood.items()), ends=_ends(HOOD)),
        Piece(CLOSING, ((Op.WHIP, count.get(Op.WHIP, 0)),)),
    )


def swatch_piece(gauge: Gauge, colour: str = "") -> Piece:
    """Return the two swatches of an untested gauge, in a colour: back-loop rib and plain sc."""
    side = SWATCH_SIDE.value / SPAN.value
    plain = gauge.plain_stitches * gauge.plain_rows * side * side
    rib = gauge.rib_stitches * gauge.rib_rows * side * side
    counts = ((Op.SC, round(plain)), (Op.SC_BLO, round(rib)))
    return Piece(SWATCH, counts, colour=colour)


def first_colour(pieces: Iterable[Piece]) -> str:
    """Return the colour that the hood begins with; empty where it has one colour only."""
    return next((piece.colour for piece in pieces if piece.name == HOOD), "")
