"""An oracle of row plans: written apart from the search, from the words of docs/rowplan.md.

It knows no shortcut. Every number of hood rows whose front edge alone is not worse than the best
hood, every crown row and every number of pairs in nape and crown is worked out step by step.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import count
from math import ceil, floor, hypot, inf

from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.rowplan import RowPlan

GIRTH, HEIGHT, OPENING, NAPE, CROWN = 2.0, 0.5, 1.5, 1.0, 0.5
NAPE_PAIR, CROWN_PAIR = 0.1, 0.02


@dataclass(frozen=True)
class Above:
    """A plan above the collar, with its misses in rows and its cost."""

    rows: int
    crown_row: int
    nape: int
    crown: int
    misses: tuple[float, float, float]
    missing: tuple[int, int]

    @property
    def cost(self) -> float:
        opening, nape, crown = self.misses
        fit = OPENING * opening**2 + NAPE * nape**2 + CROWN * crown**2
        return fit + NAPE_PAIR * self.missing[0] ** 2 + CROWN_PAIR * self.missing[1] ** 2


@cache
def handed_out(pairs: int, rows: int) -> tuple[int, ...]:
    """Pairs handed out one by one, going round: the heavier rows come last."""
    given = [0] * rows
    for n in range(1, pairs + 1):
        given[-(-n * rows // pairs) - 1] += 1
    return tuple(given)


@lru_cache(100_000)
def along(pairs: tuple[int, ...], plain: int, single: int, wide: float, high: float) -> float:
    """The fold, step by step: `plain` steps of two rows, then the shaped ones.

    Where `single` is 1, the last step is one row alone. A stitch is `wide`, a row `high`, in mm.
    """
    steps = [0] * plain + list(pairs)
    length = 0.0
    for place, drawn_in in enumerate(steps):
        alone = single and place == len(steps) - 1
        length += hypot(high if alone else 2 * high, drawn_in * wide)
    return length


def room_for(stitches: int) -> int:
    """Pairs that can go: a fifth of the stitches, six at the least, stay for the seam."""
    return max(0, (stitches - max(6, 2 * round(stitches / 10))) // 2)


def usual_pairs(nape_rows: int, crown_rows: int, room: int) -> tuple[int, int]:
    """Common practice: 1 pair in a nape row, 2 in a crown row, while stitches last."""
    nape = nape_rows
    if room < nape_rows + crown_rows:  # the crown draws in no more slowly than the nape
        nape = room * nape_rows // (nape_rows + crown_rows)
    return nape, min(2 * crown_rows, room - nape)


def hoods(rows: int, stitches: int) -> Iterator[tuple[int, int, int, int]]:
    """Every hood of so many rows: rows, crown row, pairs in the nape and in the crown."""
    room = room_for(stitches)
    for crown_row in [*range(3, rows + 1, 2), rows + 1]:
        nape_rows = len(range(3, crown_row, 2))
        crown_rows = len(range(3, rows + 1, 2)) - nape_rows
        usual, _ = usual_pairs(nape_rows, crown_rows, room)
        for nape in range(usual + 1):
            for crown in range(min(2 * crown_rows, room - nape) + 1):
                if crown or not crown_rows or nape == room:
                    yield rows, crown_row, nape, crown


def measured(
    hood: tuple[int, int, int, int], stitches: int, aim: Dimensions, gauge: Gauge
) -> Above:
    """A hood with its misses and its cost."""
    rows, crown_row, nape, crown = hood
    nape_rows = len(range(3, crown_row, 2))
    crown_rows = len(range(3, rows + 1, 2)) - nape_rows
    size = (gauge.stitch_mm, gauge.row_mm)
    opening = rows - aim.face_opening / 2 / gauge.row_mm
    fold = along(handed_out(nape, nape_rows), 1, (crown_row - 1) % 2, *size)
    over = 0.0
    if aim.crown is not None:
        over = along(handed_out(crown, crown_rows), 0, (rows - crown_row + 1) % 2, *size)
        over += (stitches / 2 - nape - crown) * gauge.stitch_mm - aim.crown
    miss = (opening, (fold - aim.nape) / gauge.row_mm, over / gauge.row_mm)
    most, _ = usual_pairs(nape_rows, crown_rows, room_for(stitches))
    full = min(2 * crown_rows, room_for(stitches) - nape)
    return Above(*hood, miss, (most - nape, full - crown))


def best(stitches: int, aim: Dimensions, gauge: Gauge) -> Above:
    """The least cost of them all."""
    found, least = None, inf
    edge = aim.face_opening / 2 / gauge.row_mm
    for far in count():
        near = [rows for rows in {round(edge) - far, round(edge) + far} if rows >= 4]
        if far > 4 and all(OPENING * (rows - edge) ** 2 > least for rows in near):
            assert found
            return found
        for hood in (hood for rows in near for hood in hoods(rows, stitches)):
            one = measured(hood, stitches, aim, gauge)
            if one.cost < least:
                found, least = one, one.cost
    raise AssertionError


def stitches_for(rows: int, neck: float | None, gauge: Gauge) -> int:
    """Stitches to pick up: the even number nearest to the row ends that the neck can bear."""
    least, most = max(6, 2 * (rows // 2 - (rows // 2 - 1) // 2)), 2 * rows
    if neck is None:
        return rows
    wide, tight = neck / 0.8 / gauge.stitch_mm, neck / 1.2 / gauge.stitch_mm
    if tight <= rows <= wide:
        return rows
    return min(most, max(least, 2 * ceil(tight / 2) if rows < tight else 2 * floor(wide / 2)))


def faults(plan: RowPlan, aim: Dimensions, gauge: Gauge, neck: float | None = None) -> list[str]:
    """What is wrong with a plan that was chosen: nothing, if the oracle knows none better."""
    wrong = []
    if plan.collar_rows != max(6, 2 * round(aim.collar_girth / gauge.rib_row_mm / 2)):
        wrong.append("the collar is not the nearest")
    if plan.collar_stitches != max(2, round(aim.collar_height / gauge.rib_stitch_mm)):
        wrong.append("its height is not the nearest")
    if plan.hood_stitches != stitches_for(plan.collar_rows, neck, gauge):
        wrong.append("the stitches picked up are others")
    nape_rows = len(range(3, plan.crown_row, 2))
    nape = sum(plan.pairs[:nape_rows])
    hood = (plan.hood_rows, plan.crown_row, nape, sum(plan.pairs) - nape)
    mine = measured(hood, plan.hood_stitches, aim, gauge)
    spread = (mine.nape, nape_rows), (mine.crown, len(plan.pairs) - nape_rows)
    if plan.pairs != handed_out(*spread[0]) + handed_out(*spread[1]):
        wrong.append("its decreases are not spread evenly")
    theirs = best(plan.hood_stitches, aim, gauge)
    if mine.cost <= theirs.cost + 1e-9:
        return wrong
    nearest = max(4, round(aim.face_opening / 2 / gauge.row_mm))
    if mine.missing != (0, 0) or plan.hood_rows != nearest:
        wrong.append(f"{theirs} is better than {mine}")
    worse = [abs(a) - abs(b) for a, b in zip(mine.misses, theirs.misses, strict=True)]
    if max(worse) > 0.5 + 1e-9:
        wrong.append(f"common practice is worse than {theirs} by {max(worse)} rows")
    return wrong
