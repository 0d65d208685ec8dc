"""The row plan: the whole numbers from which everything else follows.

The common practice plan decreases 2 in every right side row of the nape and 4 in every
right side row of the crown. Where that would run out of stitches before the front edge is
long enough, the same decreases are spread evenly over the rows there are.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import Final

from sizing.evidence import Fact, derived, practice
from sizing.gauge import Gauge

FIRST_DECREASE_ROW: Final = Fact(3, "row", practice("right side rows decrease from row 3"))
_FIRST: Final = int(FIRST_DECREASE_ROW.value)
NAPE_PAIRS: Final = Fact(1, "pairs of decreases", practice("2 decreases in the nape"))
CROWN_PAIRS: Final = Fact(2, "pairs of decreases", practice("4 decreases in the crown"))
LEAST_STITCHES: Final = Fact(
    6, "stitches", derived("the fewest that keep a plain stitch outside 4 decreases: 10 - 4")
)
CROWN_SHARE: Final = Fact(
    0.2,
    "share of the hood stitches left for the crown seam",
    derived(
        "common practice, no source: 40 stitches, 28 at the crown, five rows of 4 decreases"
        " leave 8; narrower makes a peak"
    ),
)
LEAST_COLLAR_STITCHES: Final = Fact(2, "stitches", derived("one stitch is a cord, not a band"))
LEAST_HOOD_ROWS: Final = Fact(4, "rows", derived("one plain pair and one decreasing pair"))


@dataclass(frozen=True, slots=True)
class RowPlan:
    """The integers of a hood.

    Attributes:
        collar_stitches: stitches in a collar row; they make its height.
        collar_rows: rows of the collar, even; they make its girth.
        hood_rows: rows of the hood; they make the front edge.
        crown_row: the first row of the crown, odd; one past the last row if there is none.
        pairs: pairs of decreases in each right side row from the third row on.
        pickup: stitches picked up along the collar, even; 0 for one in each row end.
    """

    collar_stitches: int
    collar_rows: int
    hood_rows: int
    crown_row: int
    pairs: tuple[int, ...]
    pickup: int = 0

    @property
    def hood_stitches(self) -> int:
        """Return the stitches picked up: one in each row end, where `pickup` says nothing."""
        return self.pickup or self.collar_rows

    @property
    def last_stitches(self) -> int:
        """Return the stitches left for the crown seam."""
        return self.hood_stitches - 2 * sum(self.pairs)

    def pairs_in(self, row: int) -> int:
        """Return the pairs of decreases in a row of the hood."""
        place = _place(row)
        return self.pairs[place] if place is not None and place < len(self.pairs) else 0

    def counts(self) -> list[int]:
        """Return the stitches after each row of the hood, from row 0, the pick-up edge."""
        now = self.hood_stitches
        found = [now] * _FIRST
        for pairs in self.pairs:
            now -= 2 * pairs
            found += (now, now)  # a right side row, and the plain one after it
        return found[: self.hood_rows + 1] + [now] * (self.hood_rows + 1 - len(found))

    def stitches_after(self, row: int) -> int:
        """Return the stitches after a row of the hood; row 0 is the pick-up edge."""
        return self.hood_stitches - 2 * sum(self.pairs[: shaped_rows(1, row)])


def _place(row: int) -> int | None:
    """Return the place of a row among the decreasing right side rows."""
    return (row - _FIRST) // 2 if row >= _FIRST and row % 2 else None


def shaped_rows(first: int, last: int) -> int:
    """Return how many right side rows from row 3 on lie in first..last."""
    start = max(_FIRST, first)
    start += 1 - start % 2
    return (last - start) // 2 + 1 if last >= start else 0


def nearest_even(value: float, least: int) -> int:
    """Return the even number nearest to a value, and at least `least`."""
    return max(least, 2 * round(value / 2))


def spread(pairs: int, rows: int) -> tuple[int, ...]:
    """Spread pairs over rows as evenly as whole numbers allow, first rows first lightest."""
    ends = [pairs * i // rows for i in range(rows + 1)]
    return tuple([after - before for before, after in pairwise(ends)])


def fold_length(stitches: list[int], stitch_mm: float, row_mm: float) -> float:
    """Return the length in mm along the fold through the stitch counts of its rows.

    `stitches` holds the count before the first row and after each row. The fold follows
    pairs of rows, a right side and a wrong side one: a single row is no step that a folded
    fabric shows.
    """
    marks = [*range(0, len(stitches) - 1, 2), len(stitches) - 1]
    return sum(
        [
            hypot((b - a) * row_mm, (stitches[b] - stitches[a]) / 2 * stitch_mm)
            for a, b in pairwise(marks)
        ]
    )


def room_of(hood_stitches: int) -> int:
    """Return how many pairs of decreases the hood stitches can bear."""
    floor = nearest_even(hood_stitches * CROWN_SHARE.value, int(LEAST_STITCHES.value))
    return max(0, (hood_stitches - floor) // 2)


def nape_length(plan: RowPlan, gauge: Gauge) -> float:
    """Return the length in mm along the centre back from the collar to the crown."""
    return fold_length(plan.counts()[: plan.crown_row], gauge.stitch_mm, gauge.row_mm)
