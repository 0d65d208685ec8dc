"""The stitch machine: works a pattern on live loops and refuses it if a stitch is wrong.

It is written apart from the pattern maker and knows nothing of row plans: it has a hook,
the loops of the row below, and the rules of the craft.

* Each operation takes loops from the near end of the row below and makes loops of the new
  row: sc, sc through the back loop: 1 makes 1. Decrease: 2 make 1. Slip stitch seam: a loop
  of the last row and a loop of the foundation chain, none made. Whip stitch: 2 loops of the
  two halves, none made.
* Work is turned after each row, so the row below is then met from its other end, and the
  right and the wrong side change.
* A loop remembers which stitches of the first row stand under it. That shows whether the
  decreases are at the centre back: the two halves beside the fold must be alike.
* A row must use up the row below: a loop left over is a fault, and so is one missing.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from sizing.errors import PatternFaultError
from sizing.rows import Op, Part, PartName, Pattern, Row, Side

ORDER = (PartName.COLLAR, PartName.COLLAR_SEAM, PartName.HOOD, PartName.CROWN_SEAM)


@dataclass(frozen=True, slots=True)
class Loop:
    """A live loop and the span of first-row stitches under it."""

    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Replay:
    """What the machine made: stitches by kind, and chains."""

    made: tuple[tuple[Op, int], ...]
    chains: int


def _steps(row: Row) -> Iterator[Op]:
    for operation in row.operations:
        for _ in range(operation.count):
            yield operation.op


def _expect(part: Part, row: Row, *, number: int, side: Side, allowed: frozenset[Op]) -> None:
    """Refuse a row with the wrong number, side or kind of stitch."""
    if row.row != number:
        raise PatternFaultError(part.part, row.row, f"row {number} should come here")
    if row.side is not side:
        raise PatternFaultError(part.part, row.row, f"it should be a {side} row")
    for operation in row.operations:
        if operation.op not in allowed:
            raise PatternFaultError(part.part, row.row, f"{operation.op} has no place in this row")
        if operation.count < 1:
            raise PatternFaultError(part.part, row.row, "an operation without a stitch")


def _take(part: Part, row: Row, below: list[Loop]) -> Loop:
    if not below:
        raise PatternFaultError(part.part, row.row, "a stitch is missing in the row below")
    return below.pop()


def _work(part: Part, row: Row, below: list[Loop]) -> list[Loop]:
    """Work a row into the loops below, nearest first, and return the new loops."""
    waiting = below[::-1]
    made: list[Loop] = []
    for op in _steps(row):
        one = _take(part, row, waiting)
        if op is Op.DEC:
            two = _take(part, row, waiting)
            one = Loop(min(one.first, two.first), max(one.last, two.last))
        made.append(one)
    if waiting:
        raise PatternFaultError(part.part, row.row, f"{len(waiting)} stitches are left over")
    if row.stitches != len(made):
        reason = f"it says {row.stitches} stitches and makes {len(made)}"
        raise PatternFaultError(part.part, row.row, reason)
    return made


def _centred(part: Part, row: Row, made: list[Loop]) -> None:
    """Refuse decreases that are not side by side at the centre back."""
    widths = [loop.last - loop.first for loop in made]
    steps = list(_steps(row))
    shaped = [place for place, op in enumerate(steps) if op is Op.DEC]
    if not shaped:
        return
    apart = shaped[-1] - shaped[0] + 1 != len(shaped)
    if apart or widths != widths[::-1] or steps != steps[::-1]:
        raise PatternFaultError(part.part, row.row, "the decreases are not at the centre back")
    if not shaped[0]:
        raise PatternFaultError(part.part, row.row, "a decrease at the front edge")


def _facing(number: int) -> Side:
    return Side.RIGHT if number % 2 else Side.WRONG


def _collar(part: Part) -> list[Loop]:
    """Work the collar strip and return the loops of its last row."""
    # The chain nearest the hook is the turn: the first stitch goes into the second chain.
    workable = (part.foundation_chain or 0) - 1
    if workable < 1:
        raise PatternFaultError(part.part, 0, "the strip has no foundation chain")
    loops = [Loop(i, i) for i in range(workable)]
    for number, row in enumerate(part.rows, start=1):
        allowed = frozenset({Op.SC if number == 1 else Op.SC_BLO})
        _expect(part, row, number=number, side=_facing(number), allowed=allowed)
        loops = _work(part, row, loops[::-1])
    if not part.rows or len(part.rows) % 2:
        raise PatternFaultError(
            part.part, len(part.rows), "the collar needs an even number of rows"
        )
    return loops


def _seam(part: Part, op: Op) -> int:
    """Return the stitches of a seam of one row, worked wrong side out."""
    if len(part.rows) != 1:
        raise PatternFaultError(part.part, 0, "a seam is one row")
    row = part.rows[0]
    _expect(part, row, number=1, side=Side.WRONG, allowed=frozenset({op}))
    if row.stitches:
        raise PatternFaultError(part.part, 1, "a seam leaves no stitches")
    return sum(operation.count for operation in row.operations)


def _collar_seam(part: Part, last_row: int, foundation: int) -> None:
    stitches = _seam(part, Op.SL_ST)
    if not stitches == last_row == foundation:
        reason = f"{stitches} slip stitches join {last_row} stitches to {foundation} chains"
        raise PatternFaultError(part.part, 1, reason)


def _hood(part: Part, row_ends: int) -> list[Loop]:
    """Work the hood from the row ends of the collar and return its last loops."""
    loops = [Loop(i, i) for i in range(row_ends)]
    for number, row in enumerate(part.rows, start=1):
        # The invisible decrease leaves bars on its far side, so it is for right side rows.
        shaped = {Op.SC, Op.DEC} if number % 2 and number > 1 else {Op.SC}
        _expect(part, row, number=number, side=_facing(number), allowed=frozenset(shaped))
        loops = _work(part, row, loops[::-1])
        _centred(part, row, loops)
    if not part.rows:
        raise PatternFaultError(part.part, 0, "the hood has no rows")
    return loops


def _crown_seam(part: Part, live: int) -> None:
    stitches = _seam(part, Op.WHIP)
    if 2 * stitches != live:
        reason = f"{stitches} whip stitches close {live} stitches, two by two"
        raise PatternFaultError(part.part, 1, reason)


def replay(pattern: Pattern) -> Replay:
    """Work a whole pattern.

    Returns:
        What was made, by kind.

    Raises:
        PatternFaultError: if a stitch is missing, left over, of the wrong kind, on the
            wrong side or not at the centre back; or a part is missing or out of order.
    """
    if tuple(part.part for part in pattern.parts) != ORDER:
        raise PatternFaultError("pattern", 0, "a part is missing or out of order")
    collar, joined, hood, closed = pattern.parts
    for part in (joined, hood, closed):
        if part.foundation_chain is not None:
            raise PatternFaultError(part.part, 0, "only the collar begins with a chain")
    last_row = _collar(collar)
    chains = collar.foundation_chain or 0
    _collar_seam(joined, len(last_row), chains - 1)
    _crown_seam(closed, len(_hood(hood, row_ends=len(collar.rows))))
    made: Counter[Op] = Counter()
    for part in pattern.parts:
        for row in part.rows:
            made.update(_steps(row))
    return Replay(tuple(sorted(made.items())), chains)
