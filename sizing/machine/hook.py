"""The hook: live loops, and what each stitch takes and makes."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from sizing.errors import PatternFaultError
from sizing.rows import DECREASES, Op, Operation, Part, Row, Side

TAKES: Final = {
    Op.SC: 1,
    Op.SC_BLO: 1,
    Op.SC_CH: 1,
    Op.DEC: 2,
    Op.SC2TOG: 2,
    Op.INC: 1,
    Op.SKIP: 1,
}
"""Loops of the row below that one stitch uses up."""


@dataclass(frozen=True, slots=True)
class Loop:
    """A live loop, the span of first-row stitches under it, and whether it is a chain."""

    first: int
    last: int
    chain: bool = False


def fault(part: Part, row: int, reason: str) -> PatternFaultError:
    """Return the refusal of a row, or of a whole part where the row is 0."""
    return PatternFaultError(part.part, row, reason)


def facing(number: int) -> Side:
    """Return the side that faces the maker in flat work: odd rows are right side rows."""
    return Side.RIGHT if number % 2 else Side.WRONG


def expect(part: Part, row: Row, *, number: int, side: Side, allowed: Iterable[Op]) -> None:
    """Refuse a row with the wrong number, side or kind of stitch."""
    if row.row != number:
        raise fault(part, row.row, f"row {number} should come here")
    if row.side is not side:
        raise fault(part, row.row, f"it should be a {side} row")
    for operation in row.operations:
        if operation.op not in allowed:
            raise fault(part, row.row, f"{operation.op} has no place in this row")
        if operation.count < 1:
            raise fault(part, row.row, "an operation without a stitch")


def fresh(count: int) -> list[Loop]:
    """Return loops with nothing known under them."""
    return [Loop(i, i) for i in range(count)]


class Hook:
    """The hook in one part, with its live loops, nearest first.

    Attributes:
        loops: the live loops.
        open: whether some of them are chains of an opening not yet worked into.
    """

    def __init__(self, part: Part, loops: list[Loop]) -> None:
        """Take the loops that the part begins with."""
        self.part = part
        self.loops = loops
        self.open = False

    def turn(self) -> None:
        """Turn the work: the row below is met from its other end."""
        self.loops.reverse()

    def work(self, row: Row) -> list[Op]:
        """Work a row into the live loops and return how each new loop was made."""
        below, made, kinds = self.loops, list[Loop](), list[Op]()
        at = chains = 0
        for operation in row.operations:
            op, count = operation.op, operation.count
            if op is Op.CH:
                chains += count
                continue
            taken = below[at : at + count * TAKES[op]]
            at += len(taken)
            self._check(row, operation, taken, chains)
            if op is Op.SKIP:
                op, chains = Op.CH, chains - count
            elif chains:
                raise fault(self.part, row.row, f"{chains} chains with no stitch under them")
            made += _made(op, taken)
            kinds += [op] * (len(made) - len(kinds))
        if chains:
            raise fault(self.part, row.row, f"{chains} chains with no stitch under them")
        if at < len(below):
            raise fault(self.part, row.row, f"{len(below) - at} stitches are left over")
        if row.stitches != len(made):
            reason = f"it says {row.stitches} stitches and makes {len(made)}"
            raise fault(self.part, row.row, reason)
        self.loops, self.open = made, Op.CH in kinds
        return kinds

    def _check(self, row: Row, operation: Operation, taken: list[Loop], chains: int) -> None:
        """Refuse to take loops that are not there or not of the right kind."""
        op, count = operation.op, operation.count
        if len(taken) < count * TAKES[op]:
            raise fault(self.part, row.row, "a stitch is missing in the row below")
        if op is Op.SKIP and count > chains:
            reason = f"{count - chains} stitches skipped with no chain over them"
            raise fault(self.part, row.row, reason)
        if op is Op.SC_CH and not all(loop.chain for loop in taken):
            raise fault(self.part, row.row, "there is no chain to work into")
        if self.open and op is not Op.SC_CH and any(loop.chain for loop in taken):
            raise fault(self.part, row.row, "a chain of an opening is not worked into")


def _made(op: Op, taken: list[Loop]) -> list[Loop]:
    """Return the loops that stitches of one kind make of those they take."""
    if op in DECREASES:
        pairs = zip(taken[::2], taken[1::2], strict=True)
        return [Loop(min(a.first, b.first), max(a.last, b.last)) for a, b in pairs]
    if op is Op.INC:
        return [loop for loop in taken for _ in range(2)]
    if op is Op.CH:
        return [Loop(loop.first, loop.last, chain=True) for loop in taken]
    if op is Op.SC_CH:
        return [Loop(loop.first, loop.last) for loop in taken]
    return taken


def gather(part: Part, row: Row, ends: int, *, free: int = 0) -> int:
    """Work a row into row ends and return the stitches that it makes.

    Args:
        part: the part that begins here.
        row: its first row; `sc` or `sl_st` takes a row end, `inc` makes two stitches in one,
            `skip` leaves one out.
        ends: the row ends to be used.
        free: row ends after them that must be left, the overlap of a buttoned collar.
    """
    kinds = [o.op for o in row.operations for _ in range(o.count)]
    if len(kinds) != ends + free:
        raise fault(part, row.row, f"it uses {len(kinds)} row ends of {ends + free}")
    if any(op is not Op.SKIP for op in kinds[ends:]):
        raise fault(part, row.row, f"the last {free} row ends must stay free")
    used = kinds[:ends]
    if used[:1] == [Op.SKIP] or used[-1:] == [Op.SKIP]:
        raise fault(part, row.row, "the edge begins and ends with a stitch")
    if any(a is b is Op.SKIP for a, b in pairwise(used)):
        raise fault(part, row.row, "two row ends skipped side by side leave a hole")
    if used != used[::-1]:
        raise fault(part, row.row, "its two halves are not alike")
    made = sum(2 if op is Op.INC else op is not Op.SKIP for op in used)
    if row.stitches != made:
        raise fault(part, row.row, f"it says {row.stitches} stitches and makes {made}")
    return made
