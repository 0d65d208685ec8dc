"""The row plan nearest to the target: every plan there is, searched.

A plan is whole numbers: collar rows and stitches, hood rows, where the crown begins, and the
pairs of decreases in nape and crown, each spread as evenly as rows allow. The cost of a plan
is the weighted sum of squared misses, each in units of its tolerance, which is one row or one
stitch. `docs/rowplan.md` gives the reason for each weight.

* Collar girth and height depend on nothing else, so the nearest whole number is best.
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
from dataclasses import dataclass, replace
from itertools import count
from math import ceil, floor, hypot, sqrt
from typing import Final

from sizing.evidence import Fact, derived
from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.rowplan import (
    CROWN_PAIRS,
    FIRST_DECREASE_ROW,
    LEAST_COLLAR_STITCHES,
    LEAST_HOOD_ROWS,
    LEAST_STITCHES,
    NAPE_PAIRS,
    RowPlan,
    nearest_even,
    room_of,
    shaped_rows,
    spread,
)

_WEIGHT = derived("judgement, see docs/rowplan.md")
GIRTH_WEIGHT: Final = Fact(2.0, "weight of the collar girth", _WEIGHT)
HEIGHT_WEIGHT: Final = Fact(0.5, "weight of the collar height", _WEIGHT)
NAPE_WEIGHT: Final = Fact(1.0, "weight of the nape", _WEIGHT)
OPENING_WEIGHT: Final = Fact(1.5, "weight of the face opening", _WEIGHT)
CROWN_WEIGHT: Final = Fact(0.5, "weight of the crown, where it was measured", _WEIGHT)
NAPE_FULLNESS: Final = Fact(0.1, "weight of a pair missing in the nape, squared", _WEIGHT)
CROWN_FULLNESS: Final = Fact(0.02, "weight of a pair missing in the crown, squared", _WEIGHT)
AS_GOOD: Final = Fact(0.5, "of a row or stitch", derived("half of the smallest step there is"))


@dataclass(frozen=True, slots=True)
class Shaping:
    """The part of a plan above the collar: its rows, and the pairs in nape and crown."""

    hood_rows: int
    crown_row: int
    nape_pairs: int
    crown_pairs: int

    @property
    def nape_rows(self) -> int:
        """Return the right side rows of the nape that may decrease."""
        return shaped_rows(int(FIRST_DECREASE_ROW.value), self.crown_row - 1)

    @property
    def crown_rows(self) -> int:
        """Return the right side rows of the crown."""
        return shaped_rows(self.crown_row, self.hood_rows)

    @property
    def pairs(self) -> tuple[int, ...]:
        """Return the pairs of each right side row from the third on."""
        nape = spread(self.nape_pairs, self.nape_rows) if self.nape_rows else ()
        return nape + (spread(self.crown_pairs, self.crown_rows) if self.crown_rows else ())


def _fold(rows: int, shaped: int, pairs: int, stitch_mm: float, row_mm: float) -> float:
    """Return the length of a fold over rows, its pairs spread over `shaped` of the steps.

    A step is two rows, the last one alone where the number is odd. The last of the shaped
    rows has the heaviest share, as `spread` has it.
    """
    full, half = divmod(rows, 2)
    each, heavier = divmod(pairs, shaped) if shaped else (0, 0)
    light, heavy = shaped - heavier, heavier
    length = (full + half - shaped) * 2 * row_mm
    if half:
        last = each + (heavier > 0)
        if shaped:
            light, heavy = light - (not heavier), heavy - (heavier > 0)
            length += hypot(row_mm, last * stitch_mm)
        else:
            length -= row_mm
    steps = light * hypot(2 * row_mm, each * stitch_mm)
    return length + steps + heavy * hypot(2 * row_mm, (each + 1) * stitch_mm)


def nape_of(shaping: Shaping, gauge: Gauge) -> float:
    """Return the nape in mm along the fold."""
    return _fold(
        shaping.crown_row - 1,
        shaping.nape_rows,
        shaping.nape_pairs,
        gauge.stitch_mm,
        gauge.row_mm,
    )


def crown_of(shaping: Shaping, hood_stitches: int, gauge: Gauge) -> float:
    """Return the crown in mm along the fold and the seam."""
    rows = shaping.hood_rows - shaping.crown_row + 1
    left = hood_stitches - 2 * (shaping.nape_pairs + shaping.crown_pairs)
    fold = _fold(rows, shaping.crown_rows, shaping.crown_pairs, gauge.stitch_mm, gauge.row_mm)
    return fold + left / 2 * gauge.stitch_mm


def _square(weight: Fact, miss: float) -> float:
    return weight.value * miss * miss


def misses(
    shaping: Shaping, hood_stitches: int, aim: Dimensions, gauge: Gauge
) -> tuple[float, float, float]:
    """Return the misses of opening, nape and crown in rows; 0 for a crown not aimed at."""
    opening = (shaping.hood_rows * gauge.row_mm - aim.face_opening / 2) / gauge.row_mm
    nape = (nape_of(shaping, gauge) - aim.nape) / gauge.row_mm
    crown = 0.0
    if aim.crown is not None:
        crown = (crown_of(shaping, hood_stitches, gauge) - aim.crown) / gauge.row_mm
    return opening, nape, crown


def most_nape_pairs(shaping: Shaping, room: int) -> int:
    """Return the pairs of the nape in common practice, one left for a crown that follows."""
    spare = max(0, room - min(1, shaping.crown_rows))
    return min(int(NAPE_PAIRS.value) * shaping.nape_rows, spare)


def usual_crown(shaping: Shaping, room: int) -> int:
    """Return the pairs of the crown in common practice, as far as stitches suffice."""
    return min(int(CROWN_PAIRS.value) * shaping.crown_rows, room - shaping.nape_pairs)


def shaping_cost(shaping: Shaping, hood_stitches: int, aim: Dimensions, gauge: Gauge) -> float:
    """Return the cost of the part above the collar: misses, and what it is fuller than usual."""
    room = room_of(hood_stitches)
    opening, nape, crown = misses(shaping, hood_stitches, aim, gauge)
    return (
        _square(OPENING_WEIGHT, opening)
        + _square(NAPE_WEIGHT, nape)
        + _square(CROWN_WEIGHT, crown)
        + _square(NAPE_FULLNESS, most_nape_pairs(shaping, room) - shaping.nape_pairs)
        + _square(CROWN_FULLNESS, usual_crown(shaping, room) - shaping.crown_pairs)
    )


def collar_cost(rows: int, stitches: int, aim: Dimensions, gauge: Gauge) -> float:
    """Return the cost of the collar."""
    girth = (rows * gauge.rib_row_mm - aim.collar_girth) / gauge.rib_row_mm
    height = (stitches * gauge.rib_stitch_mm - aim.collar_height) / gauge.rib_stitch_mm
    return _square(GIRTH_WEIGHT, girth) + _square(HEIGHT_WEIGHT, height)


def _crown_rows(hood_rows: int) -> Iterator[int]:
    """Yield where a crown can begin; one past the last row is a hood without one."""
    yield from range(int(FIRST_DECREASE_ROW.value), hood_rows + 1, 2)
    yield hood_rows + 1


def _with_nape(hood_rows: int, crown_row: int, nape_pairs: int, room: int) -> Shaping:
    bare = Shaping(hood_rows, crown_row, nape_pairs, 0)
    return Shaping(hood_rows, crown_row, nape_pairs, usual_crown(bare, room))


def usual_shapings(hood_rows: int, room: int) -> Iterator[Shaping]:
    """Yield the plans of common practice for a number of rows: one for each crown row."""
    for crown_row in _crown_rows(hood_rows):
        nape = most_nape_pairs(Shaping(hood_rows, crown_row, 0, 0), room)
        yield _with_nape(hood_rows, crown_row, nape, room)


def _crowns(shaping: Shaping, stitches: int, aim: Dimensions, gauge: Gauge) -> Iterator[Shaping]:
    """Yield a shaping with fewer and fewer crown pairs; only the usual where none is aimed at.

    A pair less makes the seam longer by a stitch and the fold shorter by less, so the crown
    only grows: beyond the aim there is nothing to gain.
    """
    yield shaping
    least = min(1, shaping.crown_rows)
    while aim.crown is not None and shaping.crown_pairs > least:
        if crown_of(shaping, stitches, gauge) >= aim.crown:
            return
        shaping = replace(shaping, crown_pairs=shaping.crown_pairs - 1)
        yield shaping


def _nape_pairs(bare: Shaping, most: int, aim: Dimensions, gauge: Gauge, under: float) -> range:
    """Return the numbers of nape pairs, downwards, with which the nape may cost less than `under`.

    Each pair lengthens the fold of a step of two rows by the same bit.
    """
    if bare.crown_row % 2 == 0:  # no crown, and a last row that is half a step: try them all
        return range(most, -1, -1)
    bit = hypot(2 * gauge.row_mm, gauge.stitch_mm) - 2 * gauge.row_mm
    slack = sqrt(under / NAPE_WEIGHT.value) * gauge.row_mm
    short = aim.nape - (bare.crown_row - 1) * gauge.row_mm
    low, high = ceil((short - slack) / bit), floor((short + slack) / bit)
    return range(min(high, most), max(low, 0) - 1, -1)


def _shapings(
    hood_rows: int, stitches: int, aim: Dimensions, gauge: Gauge, under: float
) -> Iterator[Shaping]:
    """Yield every shaping with that many rows whose nape alone may cost less than `under`."""
    room = room_of(stitches)
    for crown_row in _crown_rows(hood_rows):
        bare = Shaping(hood_rows, crown_row, 0, 0)
        most = most_nape_pairs(bare, room)
        for nape in _nape_pairs(bare, most, aim, gauge, under):
            yield from _crowns(_with_nape(hood_rows, crown_row, nape, room), stitches, aim, gauge)


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
            left = least - _square(OPENING_WEIGHT, miss)
            if left <= 0:
                continue
            found_room = True
            for shaping in _shapings(rows, hood_stitches, aim, gauge, left):
                cost = shaping_cost(shaping, hood_stitches, aim, gauge)
                if cost < least:
                    best, least = shaping, cost
        if not found_room:
            return best
    return best


def usual_shaping(hood_stitches: int, aim: Dimensions, gauge: Gauge) -> Shaping:
    """Return the best plan of common practice: the nearest rows, the nearest crown row."""
    usual = usual_shapings(nearest_rows(aim, gauge), room_of(hood_stitches))
    return min(usual, key=lambda shaping: shaping_cost(shaping, hood_stitches, aim, gauge))


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


def choose(aim: Dimensions, gauge: Gauge) -> RowPlan:
    """Return the row plan nearest to the target dimensions."""
    rows = nearest_even(aim.collar_girth / gauge.rib_row_mm, int(LEAST_STITCHES.value))
    height = round(aim.collar_height / gauge.rib_stitch_mm)
    shaping = shaping_for(rows, aim, gauge)
    return RowPlan(
        collar_stitches=max(int(LEAST_COLLAR_STITCHES.value), height),
        collar_rows=rows,
        hood_rows=shaping.hood_rows,
        crown_row=shaping.crown_row,
        pairs=shaping.pairs,
    )
