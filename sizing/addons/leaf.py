"""A leaf, worked flat from its base to its tip and shaped at both edges alike."""

from itertools import pairwise
from math import floor
from typing import Final

from sizing.addons.safety import BORE, DEPTH, whole
from sizing.errors import ValueOutOfRangeError
from sizing.evenly import middles
from sizing.evidence import Fact, derived
from sizing.gauge import Gauge
from sizing.rows import Op, Operation, Row, Side

BASE_SHARE: Final = Fact(0.5, "of the width", derived("judgement: half, as a drop ear is set on"))
WIDEST: Final = Fact(
    0.4, "of the length, from the base", derived("judgement: a little below the middle")
)
TIP: Final = Fact(2, "stitches", derived("one at each edge, drawn together by the end"))
LEAST_WIDTH: Final = Fact(4, "stitches", derived("fewer cannot be wider than the tip"))


def _even(value: float, least: float) -> int:
    return max(int(least), 2 * round(value / 2))


def _steps(first: int, last: int, pairs: int) -> frozenset[int]:
    """Return the rows in first..last that are shaped: right side rows as long as they suffice.

    Raises:
        ValueOutOfRangeError: if there are not rows enough.
    """
    right = [row for row in range(first, last + 1) if row % 2]
    rows = right if pairs <= len(right) else list(range(first, last + 1))
    if pairs > len(rows):
        reason = "This leaf is too wide for its length in this yarn: make it longer or narrower."
        raise ValueOutOfRangeError("across_mm", reason)
    return frozenset(rows[place] for place in middles(pairs, len(rows)))


def leaf_counts(across_mm: float, long_mm: float, gauge: Gauge) -> list[int]:
    """Return the stitches of each row, and before them those of the foundation chain.

    Raises:
        ValueOutOfRangeError: if it is too wide for its length.
    """
    safe = floor(BORE.value / gauge.stitch_mm) + 1
    widest = _even(across_mm / gauge.stitch_mm, max(LEAST_WIDTH.value, safe + safe % 2))
    base = _even(widest * BASE_SHARE.value, 2)
    rows = whole(long_mm, gauge.row_mm, 2, over=DEPTH.value)
    turn = max(1, round(rows * WIDEST.value))
    wider = _steps(2, turn, (widest - base) // 2)
    narrower = _steps(turn + 1, rows, (widest - int(TIP.value)) // 2)
    counts = [base]
    for row in range(1, rows + 1):
        change = 2 if row in wider else 0
        counts.append(counts[-1] + change - (2 if row in narrower else 0))
    return counts


def _row(number: int, before: int, after: int) -> Row:
    side = Side.RIGHT if number % 2 else Side.WRONG
    if after == before:
        return Row(number, side, (Operation(Op.SC, before),), after)
    narrower = Op.DEC if side is Side.RIGHT else Op.SC2TOG
    op, taken = (Op.INC, 1) if after > before else (narrower, 2)
    inside = before - 2 * taken
    if not inside:
        return Row(number, side, (Operation(op, 2),), after)
    edge = Operation(op, 1)
    return Row(number, side, (edge, Operation(Op.SC, inside), edge), after)


def leaf_rows(counts: list[int]) -> tuple[Row, ...]:
    """Return the rows of a leaf with so many stitches each."""
    steps = enumerate(pairwise(counts), start=1)
    return tuple(_row(number, before, after) for number, (before, after) in steps)
