"""The part of a hood above the collar in whole numbers, its lengths, and what it costs.

`docs/rowplan.md` gives the cost and the reason for each weight.
"""

from math import hypot
from typing import Final, NamedTuple

from sizing.evidence import Fact, derived
from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.rowplan import (
    CROWN_PAIRS,
    NAPE_PAIRS,
    room_of,
    shaped_rows,
    spread,
)

_NAPE_PAIRS: Final = int(NAPE_PAIRS.value)
_CROWN_PAIRS: Final = int(CROWN_PAIRS.value)
_WEIGHT = derived("judgement, see docs/rowplan.md")
NAPE_WEIGHT: Final = Fact(1.0, "weight of the nape", _WEIGHT)
OPENING_WEIGHT: Final = Fact(1.5, "weight of the face opening", _WEIGHT)
CROWN_WEIGHT: Final = Fact(0.5, "weight of the crown, where it was measured", _WEIGHT)
NAPE_FULLNESS: Final = Fact(0.1, "weight of a pair missing in the nape, squared", _WEIGHT)
CROWN_FULLNESS: Final = Fact(0.02, "weight of a pair missing in the crown, squared", _WEIGHT)


class Shaping(NamedTuple):
    """The part of a plan above the collar: its rows, and the pairs in nape and crown."""

    hood_rows: int
    crown_row: int
    nape_pairs: int
    crown_pairs: int

    @property
    def nape_rows(self) -> int:
        """Return the right side rows of the nape that may decrease."""
        return shaped_rows(1, self.crown_row - 1)

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


def misses(
    shaping: Shaping, hood_stitches: int, aim: Dimensions, gauge: Gauge
) -> tuple[float, float, float]:
    """Return the misses of opening, nape and crown in rows; 0 for a crown not aimed at."""
    row_mm = gauge.row_mm
    opening = (shaping.hood_rows * row_mm - aim.face_opening / 2) / row_mm
    nape = (nape_of(shaping, gauge) - aim.nape) / row_mm
    crown = 0.0
    if aim.crown is not None:
        crown = (crown_of(shaping, hood_stitches, gauge) - aim.crown) / row_mm
    return opening, nape, crown


def most_nape_pairs(shaping: Shaping, room: int) -> int:
    """Return the pairs of the nape in common practice.

    One in each right side row, as long as that leaves the crown as many for each of its rows:
    the crown never draws in more slowly than the nape. With fewer stitches both go alike.
    """
    nape, crown = shaping.nape_rows, shaping.crown_rows
    if room >= _NAPE_PAIRS * (nape + crown):
        return _NAPE_PAIRS * nape
    return room * nape // (nape + crown)


def usual_crown(shaping: Shaping, room: int) -> int:
    """Return the pairs of the crown in common practice, as far as stitches suffice."""
    return min(_CROWN_PAIRS * shaping.crown_rows, room - shaping.nape_pairs)


def with_nape(bare: Shaping, room: int, nape_pairs: int) -> Shaping:
    """Return a shaping with so many pairs in the nape, and the usual ones in the crown."""
    hood_rows, crown_row, _, _ = bare
    nape = Shaping(hood_rows, crown_row, nape_pairs, 0)
    return Shaping(hood_rows, crown_row, nape_pairs, usual_crown(nape, room))


def shaping_cost(shaping: Shaping, hood_stitches: int, aim: Dimensions, gauge: Gauge) -> float:
    """Return the cost of the part above the collar: misses, and what it is fuller than usual."""
    room = room_of(hood_stitches)
    opening, nape, crown = misses(shaping, hood_stitches, aim, gauge)
    nape_missing = most_nape_pairs(shaping, room) - shaping.nape_pairs
    crown_missing = usual_crown(shaping, room) - shaping.crown_pairs
    return (
        OPENING_WEIGHT.value * opening * opening
        + NAPE_WEIGHT.value * nape * nape
        + CROWN_WEIGHT.value * crown * crown
        + NAPE_FULLNESS.value * nape_missing * nape_missing
        + CROWN_FULLNESS.value * crown_missing * crown_missing
    )
