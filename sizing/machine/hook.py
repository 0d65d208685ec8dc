"""The hook: live loops, and what each stitch takes and makes."""

from collections.abc import Iterable
from itertools import pairwise
from typing import Final, NamedTuple

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
AS_THEY_ARE: Final = frozenset({Op.SC, Op.SC_BLO})
"""Stitches whose loops are like those they take."""
OF_OPENINGS: Final = frozenset({Op.SKIP, Op.SC_CH})
"""What begins an opening and what closes it."""
# Named here: a member looked up through its class takes ten times as long.
_CH, _SKIP, _SC_CH = Op.CH, Op.SKIP, Op.SC_CH
_RIGHT, _WRONG = Side.RIGHT, Side.WRONG


class Loops(NamedTuple):
    """Live loops side by side that are alike.

    Attributes:
        number: how many.
        span: how many stitches of the first row stand under each.
        chain: whether each is a chain over an opening.
    """

    number: int
    span: int = 1
    chain: bool = False


def fault(part: Part, row: int, reason: str) -> PatternFaultError:
    """Return the refusal of a row, or of a whole part where the row is 0."""
    return PatternFaultError(part.part, row, reason)


def facing(number: int) -> Side:
    """Return the side that faces the maker in flat work: odd rows are right side rows."""
    return _RIGHT if number % 2 else _WRONG


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


def fresh(count: int) -> list[Loops]:
    """Return loops with nothing known under them."""
    return [Loops(count)]


class Hook:
    """The hook in one part, with its live loops, nearest first.

    Attributes:
        loops: the live loops, those that are alike together.
        live: how many they are.
        open: whether some of them are chains of an opening not yet worked into.
    """

    def __init__(self, part: Part, loops: list[Loops]) -> None:
        """Take the loops that the part begins with."""
        self.part = part
        self.loops = loops
        self.live = _counted(loops)
        self.open = False

    def turn(self) -> None:
        """Turn the work: the row below is met from its other end."""
        self.loops.reverse()

    def work(self, row: Row) -> None:
        """Work a row into the live loops."""
        if self._plain(row):
            return
        below = self.loops[::-1]
        made: list[Loops] = []
        chains, opened = 0, False
        for operation in row.operations:
            op, count = operation.op, operation.count
            if op is _CH:
                chains += count
                continue
            taken = self._take(row, below, count * TAKES[op])
            if op in OF_OPENINGS or self.open:
                self._check(row, operation, taken, chains)
            if op is _SKIP:
                chains, opened = chains - count, True
            elif chains:
                raise fault(self.part, row.row, f"{chains} chains with no stitch under them")
            _lay(made, taken if op in AS_THEY_ARE else _made(op, taken))
        if chains:
            raise fault(self.part, row.row, f"{chains} chains with no stitch under them")
        if below:
            raise fault(self.part, row.row, f"{_counted(below)} stitches are left over")
        live = _counted(made)
        if row.stitches != live:
            reason = f"it says {row.stitches} stitches and makes {live}"
            raise fault(self.part, row.row, reason)
        self.loops, self.live, self.open = made, live, opened

    def _plain(self, row: Row) -> bool:
        """Return whether a row is one plain stitch in each loop, which leaves them as they are."""
        if self.open or len(row.operations) != 1:
            return False
        (all_along,) = row.operations
        return all_along.op in AS_THEY_ARE and all_along.count == row.stitches == self.live

    def _take(self, row: Row, below: list[Loops], number: int) -> list[Loops]:
        """Take so many loops off the row below, whose last ones are the nearest."""
        taken = []
        while number:
            if not below:
                raise fault(self.part, row.row, "a stitch is missing in the row below")
            near = below.pop()
            alike, span, chain = near
            if alike > number:
                below.append(Loops(alike - number, span, chain))
                taken.append(Loops(number, span, chain))
                break
            taken.append(near)
            number -= alike
        return taken

    def _check(self, row: Row, operation: Operation, taken: list[Loops], chains: int) -> None:
        """Refuse to take loops that are not of the right kind."""
        op, count = operation.op, operation.count
        if op is _SKIP and count > chains:
            reason = f"{count - chains} stitches skipped with no chain over them"
            raise fault(self.part, row.row, reason)
        if op is _SC_CH and not all(loops.chain for loops in taken):
            raise fault(self.part, row.row, "there is no chain to work into")
        if self.open and op is not _SC_CH and any(loops.chain for loops in taken):
            raise fault(self.part, row.row, "a chain of an opening is not worked into")


def _counted(loops: list[Loops]) -> int:
    """Return how many loops there are in all."""
    return sum([alike.number for alike in loops])


def _made(op: Op, taken: list[Loops]) -> list[Loops]:
    """Return the loops that stitches of one kind make of those they take."""
    if op in DECREASES:
        if len(taken) == 1:  # all alike, and two for each
            (alike,) = taken
            return [Loops(alike.number // 2, 2 * alike.span)]
        spans = [alike.span for alike in taken for _ in range(alike.number)]
        return [Loops(1, a + b) for a, b in zip(spans[::2], spans[1::2], strict=True)]
    if op is Op.INC:
        return [Loops(2 * alike.number, alike.span) for alike in taken]
    return [Loops(alike.number, alike.span, op is Op.SKIP) for alike in taken]


def _lay(made: list[Loops], new: list[Loops]) -> None:
    """Lay new loops beside those made before; loops that are alike stay together."""
    for loops in new:
        if made:
            number, span, chain = made[-1]
            if span == loops.span and chain == loops.chain:
                made[-1] = Loops(number + loops.number, span, chain)
                continue
        made.append(loops)


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
    if kinds[ends:].count(Op.SKIP) != len(kinds) - ends:
        raise fault(part, row.row, f"the last {free} row ends must stay free")
    used = kinds[:ends]
    if used[:1] == [Op.SKIP] or used[-1:] == [Op.SKIP]:
        raise fault(part, row.row, "the edge begins and ends with a stitch")
    if (_SKIP, _SKIP) in pairwise(used):
        raise fault(part, row.row, "two row ends skipped side by side leave a hole")
    if used != used[::-1]:
        raise fault(part, row.row, "its two halves are not alike")
    made = len(used) + used.count(Op.INC) - used.count(Op.SKIP)
    if row.stitches != made:
        raise fault(part, row.row, f"it says {row.stitches} stitches and makes {made}")
    return made
