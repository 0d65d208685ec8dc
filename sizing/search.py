"""The row plan nearest to the target: every plan there is, searched.

A plan is whole numbers: collar rows and stitches, stitches picked up, hood rows, where the crown
begins, and the pairs of decreases in nape and crown, each spread as evenly as rows allow. The
cost of a plan is the weighted sum of squared misses, each in rows or stitches.
`docs/rowplan.md` gives the reason for each weight.

* The collar is settled first: it alone lies at the throat, and nothing is traded for its size.
* A hood with a given number of rows is tried with each crown row and each number of nape
  pairs; the crown is aimed at only where it was measured, otherwise it decreases as common
  practice does. Hood rows are tried outwards from the nearest, until their own miss alone
  costs more than the best plan.
* A pair of decreases that common practice would make and the plan does not has a cost too: a
  nape of the right length that does not narrow is no nape.
* Where the plan of common practice (2 decreases, then 4, in every right side row) is as good
  within half a row or stitch, it wins, so that makers recognise their craft.
"""

from collections.abc import Iterator
from itertools import count
from math import ceil, floor, hypot, sqrt
from typing import Final

from sizing.crowned import Crowns, fold_cost, outside
from sizing.evidence import Fact, derived
from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.joining import picked_up
from sizing.rowplan import (
    FIRST_DECREASE_ROW,
    LEAST_COLLAR_STITCHES,
    LEAST_HOOD_ROWS,
    LEAST_STITCHES,
    RowPlan,
    nearest_even,
    room_of,
)
from sizing.shaping import (
    NAPE_FULLNESS,
    NAPE_WEIGHT,
    OPENING_WEIGHT,
    Shaping,
    misses,
    most_nape_pairs,
    shaping_cost,
    usual_crown,
)

AS_GOOD: Final = Fact(0.5, "of a row or stitch", derived("half of the smallest step there is"))


def _slope(gauge: Gauge) -> float:
    """Return by how much a pair of decreases lengthens the fold of a step of two rows, in mm."""
    step = 2 * gauge.row_mm
    return hypot(step, gauge.stitch_mm) - step


def _crown_rows(hood_rows: int, aim: Dimensions, gauge: Gauge, under: float) -> Iterator[int]:
    """Yield where a crown can begin so that the nape may cost less than `under`.

    A nape of n rows lies between n rows upright and n rows all but the first two of which are
    shaped. One past the last row is a hood without a crown; it is always tried.
    """
    row_mm, bit = gauge.row_mm, _slope(gauge)
    slack = sqrt(under / NAPE_WEIGHT.value) * row_mm
    # A row to either side, so that no rounding loses a candidate.
    low = floor((aim.nape - slack + bit) / (row_mm + bit / 2))
    high = min(hood_rows, ceil((aim.nape + slack) / row_mm) + 2)
    yield from range(max(int(FIRST_DECREASE_ROW.value), low - 1 + low % 2), high + 1, 2)
    yield hood_rows + 1


def _with_nape(bare: Shaping, nape_pairs: int, room: int) -> Shaping:
    """Return a shaping with so many pairs in the nape, and the usual ones in the crown."""
    hood_rows, crown_row, _, _ = bare
    nape = Shaping(hood_rows, crown_row, nape_pairs, 0)
    return Shaping(hood_rows, crown_row, nape_pairs, usual_crown(nape, room))


def _usual(hood_rows: int, crown_row: int, room: int) -> Shaping:
    """Return the plan of common practice for a crown row."""
    bare = Shaping(hood_rows, crown_row, 0, 0)
    return _with_nape(bare, most_nape_pairs(bare, room), room)


def _nape_cost(bare: Shaping, most: int, aim: Dimensions, gauge: Gauge) -> float:
    """Return what the nape of a crown row costs at least, with any number of pairs."""
    if bare.crown_row % 2 == 0:
        return 0.0
    upright = (bare.crown_row - 1) * gauge.row_mm
    longest = upright + most * _slope(gauge)
    return NAPE_WEIGHT.value * outside(aim.nape, upright, longest, gauge)


def _nape_pairs(bare: Shaping, most: int, aim: Dimensions, gauge: Gauge, under: float) -> range:
    """Return the numbers of nape pairs, downwards, with which the nape may cost less than `under`.

    Each pair lengthens the fold of a step of two rows by the same bit, and each pair that is
    missing costs.
    """
    fewest = max(0, most - floor(sqrt(under / NAPE_FULLNESS.value)))
    if bare.crown_row % 2 == 0:  # no crown, and a last row that is half a step: try them all
        return range(most, fewest - 1, -1)
    row_mm, bit = gauge.row_mm, _slope(gauge)
    slack = sqrt(under / NAPE_WEIGHT.value) * row_mm
    short = aim.nape - (bare.crown_row - 1) * row_mm
    low, high = ceil((short - slack) / bit), floor((short + slack) / bit)
    return range(min(high, most), max(low, fewest) - 1, -1)


def _shapings(
    hood_rows: int, stitches: int, aim: Dimensions, gauge: Gauge, under: float
) -> Iterator[Shaping]:
    """Yield every shaping with that many rows whose nape and crown may cost less than `under`.

    Where no crown is aimed at, it decreases as common practice does.
    """
    room = room_of(stitches)
    for crown_row in _crown_rows(hood_rows, aim, gauge, under):
        bare = Shaping(hood_rows, crown_row, 0, 0)
        most = most_nape_pairs(bare, room)
        pairs = _nape_pairs(bare, most, aim, gauge, under)
        napes = (_with_nape(bare, nape, room) for nape in pairs)
        if aim.crown is None:
            yield from napes
        else:
            crowns = Crowns(stitches, aim.crown, aim.nape, gauge)
            yield from crowns.of(napes, under, _nape_cost(bare, most, aim, gauge))


def nearest_rows(aim: Dimensions, gauge: Gauge) -> int:
    """Return the number of hood rows nearest to half the face opening."""
    return max(int(LEAST_HOOD_ROWS.value), round(aim.face_opening / 2 / gauge.row_mm))


def _rows_at(nearest: int, step: int) -> tuple[int, ...]:
    """Return the numbers of hood rows that lie a step from the nearest."""
    both = (nearest + step, nearest - step) if step else (nearest,)
    return tuple(rows for rows in both if rows >= LEAST_HOOD_ROWS.value)


def best_shaping(first: Shaping, hood_stitches: int, aim: Dimensions, gauge: Gauge) -> Shaping:
    """Return the shaping of least cost; `first` is one to beat, and stays where none does."""
    best, least = first, shaping_cost(first, hood_stitches, aim, gauge)
    nearest = nearest_rows(aim, gauge)
    for step in count():
        found_room = False
        for rows in _rows_at(nearest, step):
            miss = (rows * gauge.row_mm - aim.face_opening / 2) / gauge.row_mm
            left = least - OPENING_WEIGHT.value * miss * miss
            if left <= 0:
                continue
            found_room = True
            if aim.crown is not None:
                fold = aim.nape + aim.crown
                if fold_cost(rows, hood_stitches, fold, gauge) >= left:
                    continue
            for shaping in _shapings(rows, hood_stitches, aim, gauge, left):
                cost = shaping_cost(shaping, hood_stitches, aim, gauge)
                if cost < least:
                    best, least = shaping, cost
        if not found_room:
            break
    return best


def usual_shaping(hood_stitches: int, aim: Dimensions, gauge: Gauge) -> Shaping:
    """Return the best plan of common practice: the nearest rows, the nearest crown row."""
    rows, room = nearest_rows(aim, gauge), room_of(hood_stitches)
    first = _usual(rows, rows + 1, room)
    # A crown row that is not bad, so that those beyond its cost need not be looked at.
    likely = round(aim.nape / (2 * gauge.row_mm + _slope(gauge)))
    start = min(max(1, likely), (rows - 1) // 2)
    bound = shaping_cost(_usual(rows, 2 * start + 1, room), hood_stitches, aim, gauge)
    best, least = first, shaping_cost(first, hood_stitches, aim, gauge)
    for crown_row in _crown_rows(rows, aim, gauge, bound):
        usual = _usual(rows, crown_row, room)
        cost = shaping_cost(usual, hood_stitches, aim, gauge)
        if cost < least:
            best, least = usual, cost
    return best


def shaping_for(hood_stitches: int, aim: Dimensions, gauge: Gauge) -> Shaping:
    """Return the best shaping, or that of common practice where it is as good."""
    usual = usual_shaping(hood_stitches, aim, gauge)
    best = best_shaping(usual, hood_stitches, aim, gauge)
    pairs = zip(
        misses(usual, hood_stitches, aim, gauge),
        misses(best, hood_stitches, aim, gauge),
        strict=True,
    )
    if all(abs(mine) - abs(theirs) <= AS_GOOD.value for mine, theirs in pairs):
        return usual
    return best


def choose(aim: Dimensions, gauge: Gauge, neck_girth: float | None = None) -> RowPlan:
    """Return the row plan nearest to the target dimensions.

    Args:
        aim: the target.
        gauge: in both fabrics.
        neck_girth: of the dog, in mm: with it, row ends are doubled or skipped where the edge
            of the hood would else fit the neck too badly; without it each takes one stitch.
    """
    rows = nearest_even(aim.collar_girth / gauge.rib_row_mm, int(LEAST_STITCHES.value))
    height = round(aim.collar_height / gauge.rib_stitch_mm)
    picked = picked_up(rows, neck_girth, gauge) if neck_girth else rows
    shaping = shaping_for(picked, aim, gauge)
    return RowPlan(
        collar_stitches=max(int(LEAST_COLLAR_STITCHES.value), height),
        collar_rows=rows,
        hood_rows=shaping.hood_rows,
        crown_row=shaping.crown_row,
        pairs=shaping.pairs,
        pickup=picked if picked != rows else 0,
    )
