"""Where the crown was measured: the shapings that a search for the best need not look at.

A pair less in nape or crown makes the seam longer by a stitch and the fold shorter by less, so the
crown only grows. That bounds it for a number of hood rows, for a crown row and for each number of
nape pairs: what is left out here costs at least what it is told to stay under.
"""

from collections.abc import Iterator
from math import floor, hypot, sqrt
from typing import Final

from sizing.evidence import Fact, derived
from sizing.gauge import Gauge
from sizing.rowplan import room_of
from sizing.shaping import CROWN_FULLNESS, CROWN_WEIGHT, NAPE_WEIGHT, Shaping, crown_of, nape_of

DUST: Final = Fact(
    1e-6, "of a row, squared", derived("more than the rounding of a float, less than any tape")
)


def outside(aim: float, shortest: float, longest: float, gauge: Gauge) -> float:
    """Return how many rows, squared, an aim lies outside of what can be made; lengths in mm."""
    miss = max(0.0, shortest - aim, aim - longest) / gauge.row_mm
    return miss * miss - DUST.value


def fold_cost(hood_rows: int, stitches: int, fold: float, gauge: Gauge) -> float:
    """Return what nape and crown cost together at least in a hood of so many rows.

    The way is shortest where the fold runs straight and has all the pairs there is room for. What
    is missed costs least when nape and crown share it by their weights.

    Args:
        hood_rows: of the hood.
        stitches: picked up.
        fold: nape and crown aimed at, in mm.
        gauge: of the hood.
    """
    high, room = hood_rows * gauge.row_mm, room_of(stitches)
    shortest = hypot(high, room * gauge.stitch_mm) + (stitches / 2 - room) * gauge.stitch_mm
    longest = high + stitches / 2 * gauge.stitch_mm
    nape, crown = NAPE_WEIGHT.value, CROWN_WEIGHT.value
    return nape * crown / (nape + crown) * outside(fold, shortest, longest, gauge)


def _reach(cost: float, gauge: Gauge) -> float:
    """Return by how many mm a crown may miss for a cost."""
    return sqrt(max(0.0, cost + DUST.value) / CROWN_WEIGHT.value) * gauge.row_mm


class Crowns:
    """The crowns of a hood of so many stitches, aimed at a length in mm."""

    def __init__(self, stitches: int, aim: float, nape: float, gauge: Gauge) -> None:
        """Take what is the same for all of them; `nape` is aimed at, in mm, too."""
        self._stitches = stitches
        self._aim = aim
        self._nape = nape
        self._gauge = gauge

    def _over(self, shaping: Shaping) -> float:
        """Return by how many mm a crown is longer than the aim."""
        return crown_of(shaping, self._stitches, self._gauge) - self._aim

    def of(self, napes: Iterator[Shaping], under: float, nape_cost: float) -> Iterator[Shaping]:
        """Yield the shapings of one crown row that may cost less than `under`.

        Args:
            napes: with fewer and fewer pairs in the nape, and the usual ones in the crown.
            under: what nape and crown must cost less than.
            nape_cost: what any of these napes costs at least.
        """
        most = _reach(under - nape_cost, self._gauge)
        for shaping in napes:
            over = self._over(shaping)
            if over >= most:
                return
            miss = (nape_of(shaping, self._gauge) - self._nape) / self._gauge.row_mm
            yield from self._with_fewer(shaping, over, under - NAPE_WEIGHT.value * miss * miss)

    def _with_fewer(self, shaping: Shaping, over: float, under: float) -> Iterator[Shaping]:
        """Yield a shaping with fewer and fewer crown pairs, until the crown is long enough."""
        reach = _reach(under, self._gauge)
        if over >= reach or under + DUST.value <= 0:
            return
        usual = shaping.crown_pairs
        # No pair less makes a crown longer by more than a stitch.
        fewer = max(0, floor((-over - reach) / self._gauge.stitch_mm))
        missing = floor(sqrt((under + DUST.value) / CROWN_FULLNESS.value))
        least = max(min(1, shaping.crown_rows, usual), usual - missing)
        for pairs in range(usual - fewer, least - 1, -1):
            one = shaping._replace(crown_pairs=pairs)
            yield one
            if self._over(one) >= 0:
                return
