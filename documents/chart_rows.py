"""The rows of a pattern as signs on a grid, seen from the right side.

x counts stitches from the middle of the work, to the right. A stitch stands over the one that it
is worked into, a decrease between its two. So both front edges are straight, stitches are followed
upwards by the eye, and a gap grows at the centre back as the work narrows.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from sizing.rows import Op, Part, PartName, Row, Side
from sizing.style import Hand
from sizing.wording import reads_from


class Sign(StrEnum):
    """The signs of a chart.

    `back` and `front` are single crochets into one loop, told as the right side shows it: the
    back loop of a wrong side row is the front loop there. `part` is one of two in one place.
    """

    CHAIN = "chain"
    SLIP = "slip"
    CROSS = "cross"
    BACK = "back"
    FRONT = "front"
    PART = "part"
    DEC = "dec"
    TOGETHER = "together"
    END = "end"


@dataclass(frozen=True, slots=True)
class Stitch:
    """One sign: where it stands, and where its feet stand in the row below."""

    sign: Sign
    x: float
    feet: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class ChartRow:
    """One row of a chart, or the edge that it stands on.

    Attributes:
        number: of the row; 0 for a foundation chain, row ends or a seam.
        label: what stands where the row begins.
        count: what stands where it ends.
        from_right: whether it begins at the right.
        stitches: from left to right.
        turn: chains of the turn before it; they are no stitches.
        leaders: whether each stitch is tied to its place below by a line.
    """

    number: int
    label: str
    count: str
    from_right: bool
    stitches: tuple[Stitch, ...]
    turn: int = 0
    leaders: bool = False

    @property
    def looks(self) -> tuple[tuple[Sign, float, tuple[float, ...]], ...]:
        """Return all that the eye sees of its stitches."""
        return tuple((one.sign, one.x, one.feet) for one in self.stitches)


_SIGNS: Final = {
    Op.SC: Sign.CROSS,
    Op.SC_CH: Sign.CROSS,
    Op.DEC: Sign.DEC,
    Op.SC2TOG: Sign.TOGETHER,
    Op.INC: Sign.PART,
    Op.CH: Sign.CHAIN,
    Op.SL_ST: Sign.SLIP,
    Op.WHIP: Sign.SLIP,
}
_FEET: Final = {Op.DEC: 2, Op.SC2TOG: 2, Op.CH: 0}
_MADE: Final = {Op.INC: 2, Op.SKIP: 0}


def places(count: int) -> tuple[float, ...]:
    """Return the places of so many stitches, close and centred, from left to right."""
    return tuple(place - (count - 1) / 2 for place in range(count))


def spread_places(count: int, over: int) -> tuple[float, ...]:
    """Return the places of row ends, spread over the width of so many stitches."""
    return tuple((place + 0.5) / count * over - over / 2 for place in range(count))


def _sign(op: Op, side: Side) -> Sign:
    if op is Op.SC_BLO:
        return Sign.BACK if side is Side.RIGHT else Sign.FRONT
    return _SIGNS[op]


def _worked(row: Row, below: tuple[float, ...]) -> Iterator[Stitch]:
    """Yield the stitches of a row in the order of work; `below` is in that order too."""
    at = 0
    for operation in row.operations:
        for place in range(operation.count):
            taken = _FEET.get(operation.op, 1)
            feet = below[at : at + taken]
            # Chains hang over the stitches that are left out after them.
            over = feet or below[at + place : at + place + 1]
            at += taken
            for _ in range(_MADE.get(operation.op, 1)):
                x = sum(over) / len(over)
                yield Stitch(_sign(operation.op, row.side), x, tuple(sorted(feet)))


def _uneven(row: Row) -> bool:
    """Return whether a row is picked up along row ends that are not as many as its stitches."""
    last = len(row.operations) - 1
    used = {one.op for n, one in enumerate(row.operations) if n < last or one.op is not Op.SKIP}
    return Op.INC in used or (Op.SKIP in used and Op.CH not in used)


def _row(part: Part, row: Row, below: tuple[float, ...], hand: Hand, letter: str) -> ChartRow:
    from_right = reads_from(hand, row.side) == "right"
    work = list(_worked(row, below[::-1] if from_right else below))
    stitches = tuple(work[::-1] if from_right else work)
    uneven = _uneven(row)
    if uneven:
        spots = places(len(stitches))
        stitches = tuple(replace(one, x=x) for one, x in zip(stitches, spots, strict=True))
    return ChartRow(
        number=row.row,
        label=f"{row.row}{letter}",
        count=f"({row.stitches})",
        from_right=from_right,
        stitches=stitches,
        turn=part.turning_chain if row.row > 1 else 0,
        leaders=uneven,
    )


def letters(part: Part) -> dict[str, str]:
    """Return a letter for each colour of a part, or none where it has one colour only."""
    names = dict.fromkeys(row.colour for row in part.rows)
    if len(names) < 2:  # noqa: PLR2004 - one colour needs no letter
        return {}
    return {name: chr(ord("A") + place % 26) for place, name in enumerate(names)}


def free_ends(part: Part) -> int:
    """Return the row ends at the end of the first row that stay free: those of an overlap."""
    last = part.rows[0].operations[-1]
    return last.count if last.op is Op.SKIP else 0


def _edge(part: Part) -> ChartRow:
    """Return what the first row stands on: the foundation chain, or row ends."""
    if part.part is PartName.COLLAR and part.foundation_chain:
        count = part.foundation_chain - 1  # the last chain is the turn
        chain = tuple(Stitch(Sign.CHAIN, x) for x in places(count))
        return ChartRow(0, "", f"({count} + 1)", from_right=False, stitches=chain)
    first = part.rows[0]
    ends = sum(operation.count for operation in first.operations) - free_ends(part)
    spots = spread_places(ends, first.stitches)
    ticks = tuple(Stitch(Sign.END, x) for x in spots)
    return ChartRow(0, "", f"({ends})", from_right=True, stitches=ticks)


def chart_rows(part: Part, hand: Hand = Hand.RIGHT) -> tuple[ChartRow, ...]:
    """Return the edge that a part begins on and all its rows, from the lowest up.

    Args:
        part: the collar or the hood.
        hand: a left-hander's chart is the right-hander's in the mirror.
    """
    found = [_edge(part)]
    named = letters(part)
    below = tuple(stitch.x for stitch in found[0].stitches)
    for row in part.rows:
        found.append(_row(part, row, below, hand, named.get(row.colour, "")))
        below = tuple(stitch.x for stitch in found[-1].stitches)
    return tuple(found)


def seam_row(stitches: int) -> ChartRow:
    """Return the seam of the collar as a row of slip stitches."""
    dots = tuple(Stitch(Sign.SLIP, x) for x in places(stitches))
    return ChartRow(0, "", f"({stitches})", from_right=True, stitches=dots)
