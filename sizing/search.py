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
from functools import partial
from itertools import count
from math import ceil, floor, hypot, sqrt
from typing import Final

from sizing.crowned import DUST, Crowns, fold_cost, outside
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
    nape_of,
    shaping_cost,
    with_nape,
)
from sizing.walk import fair_shaping

AS_GOOD: Final = Fact(0.5, "of a row or stitch", derived("half of the smallest step there is"))


MOST_LOOKED_AT: Final = Fact(
    40_000,
    "crowns",
    derived(
        "judgement: half a second; of 360 drawn dogs, their crowns up to twice or down to 0.3 of"
        " the usual, none needed 7,000"
    ),
)


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


def _usual(hood_rows: int, crown_row: int, room: int) -> Shaping:
    """Return the plan of common practice for a crown row."""
    bare = Shaping(hood_rows, crown_row, 0, 0)
    return with_nape(bare, room, most_nape_pairs(bare, room))


def _nape_cost(bare: Shaping, most: int, aim: Dimensions, gauge: Gauge) -> float:
    """Return what the nape of a crown row costs at least, with any number of pairs."""
    if bare.crown_row % 2 == 0:
        return 0.0
    upright = (bare.crown_row - 1) * gauge.row_mm
    longest = upright + most * _slope(gauge)
    return NAPE_WEIGHT.value * outside(aim.nape, upright, longest, gauge)


def _nape_pairs(
    bare: Shaping, most: int, aim: Dimensions, gauge: Gauge, under: float, left: float
) -> range:
    """Return the numbers of nape pairs, downwards, that may do.

    Each pair lengthens the fold of a step of two rows by the same bit, and each pair that is
    missing costs.

    Args:
        bare: the rows.
        most: the pairs of the nape in common practice.
        aim: the target.
        gauge: of the hood.
        under: what the missing pairs must cost less than.
        left: what the miss of the nape must cost less than, beside the crown.
    """
    fewest = max(0, most - floor(sqrt(under / NAPE_FULLNESS.value)))
    if bare.crown_row % 2 == 0:  # no crown, and a last row that is half a step: try them all
        return range(most, fewest - 1, -1)
    row_mm, bit = gauge.row_mm, _slope(gauge)
    slack = sqrt(left / NAPE_WEIGHT.value) * row_mm
    short = aim.nape - (bare.crown_row - 1) * row_mm
    low, high = ceil((short - slack) / bit), floor((short + slack) / bit)
    return range(min(high, most), max(low, fewest) - 1, -1)


def _long_enough(
    napes: Iterator[Shaping], aim: Dimensions, gauge: Gauge, under: float
) -> Iterator[Shaping]:
    """Yield shapings with fewer and fewer pairs in the nape until it costs `under`, too short."""
    shortest = aim.nape - sqrt(under / NAPE_WEIGHT.value) * gauge.row_mm - DUST.value
    for shaping in napes:
        if nape_of(shaping, gauge) < shortest:
            return
        yield shaping


def _least_cost(
    hood_rows: int, stitches: int, aim: Dimensions, gauge: Gauge, crowns: Crowns | None
) -> float:
    """Return what nape and crown, where it is aimed at, cost at least with so many rows."""
    if crowns:
        return fold_cost(hood_rows, stitches, crowns.fold, gauge)
    # No pair lengthens the nape by more than a stitch, and none but one in half a step by so much.
    longest = hood_rows * gauge.row_mm + room_of(stitches) * _slope(gauge) + gauge.stitch_mm
    return NAPE_WEIGHT.value * outside(aim.nape, 0.0, longest, gauge)


def _shapings(
    hood_rows: int,
    stitches: int,
    aim: Dimensions,
    gauge: Gauge,
    under: float,
    crowns: Crowns | None = None,
) -> Iterator[Shaping]:
    """Yield every shaping with that many rows whose nape and crown may cost less than `under`.

    Where no crown is aimed at, it decreases as common practice does.
    """
    if _least_cost(hood_rows, stitches, aim, gauge, crowns) >= under:
        return
    room = room_of(stitches)
    for crown_row in _crown_rows(hood_rows, aim, gauge, under):
        bare = Shaping(hood_rows, crown_row, 0, 0)
        most = most_nape_pairs(bare, room)
        shaped = partial(with_nape, bare, room)
        left = under
        if crowns:
            if crowns.looked_at > MOST_LOOKED_AT.value:
                return
            left -= crowns.at_least(shaped(most), shaped(0))
            if _nape_cost(bare, most, aim, gauge) >= left:
                continue
        pairs = _nape_pairs(bare, most, aim, gauge, under, left)
        if crowns:
            yield from crowns.of(shaped, pairs, most, under)
        else:
            yield from _long_enough(map(shaped, pairs), aim, gauge, under)


def nearest_rows(aim: Dimensions, gauge: Gauge) -> int:
    """Return the number of hood rows nearest to half the face opening."""
    return max(int(LEAST_HOOD_ROWS.value), round(aim.face_opening / 2 / gauge.row_mm))


def _rows_at(nearest: int, step: int) -> tuple[int, ...]:
    """Return the numbers of hood rows that lie a step from the nearest."""
    both = (nearest + step, nearest - step) if step else (nearest,)
    return tuple(rows for rows in both if rows >= LEAST_HOOD_ROWS.value)


def best_shaping(first: Shaping, hood_stitches: int, aim: Dimensions, gauge: Gauge) -> Shaping:
    """Return the shaping of least cost; `first` is one to beat, and stays where none does.

    Where a measured crown is so far from what front edge and nape leave room for that
    `MOST_LOOKED_AT` crowns do not settle it, a fair plan is returned: every one is bad.
    """
    best, least = first, shaping_cost(first, hood_stitches, aim, gauge)
    under, fair, crowns = least, first, None
    if aim.crown is not None:
        crowns = Crowns(hood_stitches, aim.crown, aim.nape, gauge)
    if least > 1:  # it misses by more than a row
        fair = fair_shaping(first, hood_stitches, aim, gauge)
        under = min(least, shaping_cost(fair, hood_stitches, aim, gauge) + DUST.value)
    nearest = nearest_rows(aim, gauge)
    for step in count():
        found_room = False
        for rows in _rows_at(nearest, step):
            miss = (rows * gauge.row_mm - aim.face_opening / 2) / gauge.row_mm
            left = under - OPENING_WEIGHT.value * miss * miss
            if left <= 0:
                continue
            found_room = True
            for shaping in _shapings(rows, hood_stitches, aim, gauge, left, crowns):
                cost = shaping_cost(shaping, hood_stitches, aim, gauge)
                if cost < least:
                    best, least = shaping, cost
                    under = min(under, least)
        if not found_room:
            break
    if crowns and crowns.looked_at > MOST_LOOKED_AT.value:
        return min(best, fair, key=lambda one: shaping_cost(one, hood_stitches, aim, gauge))
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
