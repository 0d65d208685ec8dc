"""Rounds: how many stitches each has, and where its increases stand."""

from itertools import pairwise
from math import hypot, pi
from typing import Final

from sizing.addons.safety import BORE, DEPTH, whole
from sizing.errors import ValueOutOfRangeError
from sizing.evenly import shares
from sizing.evidence import Fact, derived, practice
from sizing.gauge import Gauge
from sizing.rows import Op, Operation, Row, Side

LEAST_STEP: Final = Fact(
    4, "increases a round", derived("rows 1.5 times as many as stitches: taller than any sc known")
)
MOST_STEP: Final = Fact(
    9,
    "increases a round",
    derived("rows 0.7 times as many as stitches: flatter than any sc known"),
)
RING: Final = Fact(4, "stitches", practice("a horn begins with 4 sc in the ring; fewer twist"))


def increases_per_round(gauge: Gauge) -> int:
    """Return the increases of each round of a flat disc.

    A round is one row further out, so its circumference is 2 pi rows longer: that is 2 pi x
    (stitches per mm) / (rows per mm) stitches, about 6 where both are nearly equal.

    Raises:
        ValueOutOfRangeError: if the gauge is none of single crochet.
    """
    step = round(2 * pi * gauge.plain_stitches / gauge.plain_rows)
    if not LEAST_STEP.value <= step <= MOST_STEP.value:
        reason = (
            f"With this gauge a disc would need {step} increases a round; 5 to 7 are usual in"
            " single crochet. Count the rows of the plain swatch again."
        )
        raise ValueOutOfRangeError("plain_rows", reason)
    return step


def disc_counts(rounds: int, step: int) -> list[int]:
    """Return the stitches of each round of a flat disc."""
    return [step * number for number in range(1, rounds + 1)]


def cone_counts(across_mm: float, long_mm: float, gauge: Gauge) -> list[int]:
    """Return the stitches of each round of a cone, from its tip to its base.

    Unrolled, a cone is a sector of a disc whose radius is the slant.
    """
    base = base_stitches(across_mm, gauge)
    safe = hypot(DEPTH.value, base * gauge.stitch_mm / pi / 2)
    rounds = whole(hypot(long_mm, across_mm / 2), gauge.row_mm, 2, over=safe)
    counts = [int(RING.value)]
    for number in range(2, rounds + 1):
        due = max(counts[-1], round(base * number / rounds))
        counts.append(min(due, 2 * counts[-1]))  # a stitch takes one increase at most
    return counts


def tube_counts(across_mm: float, long_mm: float, gauge: Gauge) -> list[int]:
    """Return the stitches of each round of a tube, closed by a small disc at its tip."""
    base = base_stitches(across_mm, gauge)
    step = min(increases_per_round(gauge), base)
    counts = [step]
    while counts[-1] < base:
        counts.append(min(counts[-1] + step, base))
    return counts + [base] * whole(long_mm, gauge.row_mm, 1, over=DEPTH.value)


def base_stitches(across_mm: float, gauge: Gauge) -> int:
    """Return the stitches round a base.

    Raises:
        ValueOutOfRangeError: if the yarn is too thick for the piece.
    """
    base = whole(pi * across_mm, gauge.stitch_mm, 1, over=pi * BORE.value)
    if base < 2 * RING.value:
        reason = f"In this yarn the base would be {base} stitches round: make it larger."
        raise ValueOutOfRangeError("across_mm", reason)
    return base


def _round(number: int, before: int, after: int) -> Row:
    """Return a round whose increases are evenly spread; every other one begins in mid-gap.

    Were they to stand above each other, the piece would get corners.
    """
    gained = after - before
    if not gained:
        operations = [Operation(Op.SC, before)]
    else:
        gaps = list(shares(before - gained, gained))
        begin = gaps[0] // 2 if number % 2 else 0
        gaps[0] -= begin
        operations = [Operation(Op.SC, begin)]
        for gap in gaps[::-1]:
            operations += [Operation(Op.INC, 1), Operation(Op.SC, gap)]
    return Row(number, Side.RIGHT, _merged(operations), after)


def _merged(operations: list[Operation]) -> tuple[Operation, ...]:
    """Return operations without empty ones, equal neighbours together."""
    found: list[Operation] = []
    for operation in operations:
        if operation.count and found and found[-1].op is operation.op:
            found[-1] = Operation(operation.op, found[-1].count + operation.count)
        elif operation.count:
            found.append(operation)
    return tuple(found)


def rounds_of(counts: list[int]) -> tuple[Row, ...]:
    """Return rounds with so many stitches each, the first worked into the ring."""
    first = Row(1, Side.RIGHT, (Operation(Op.SC, counts[0]),), counts[0])
    steps = enumerate(pairwise(counts), start=2)
    return (first, *(_round(number, before, after) for number, (before, after) in steps))
