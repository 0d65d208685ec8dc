"""Where the crown was measured: the shapings that a search for the best need not look at.

A pair less in nape or crown makes the seam longer by a stitch and the fold shorter by less, so the
crown only grows. That bounds it for a number of hood rows, for a crown row and for each number of
nape pairs: what is left out here costs at least what it is told to stay under.
"""

from collections.abc import Callable, Iterator
from math import floor, hypot, sqrt
from typing import Final, NamedTuple

from sizing.evidence import Fact, derived
from sizing.gauge import Gauge
from sizing.rowplan import room_of
from sizing.shaping import (
    CROWN_FULLNESS,
    CROWN_WEIGHT,
    NAPE_FULLNESS,
    NAPE_WEIGHT,
    Shaping,
    crown_of,
    nape_of,
)

DUST: Final = Fact(
    1e-6, "of a row, squared", derived("more than the rounding of a float, less than any tape")
)


_EITHER_PAIR: Final = 1 / (1 / CROWN_FULLNESS.value + 1 / NAPE_FULLNESS.value)
"""What a missing pair costs where nape and crown share those that are missing by their weights."""


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


def _short_cost(short: float, gain: float, pair: float, most: float) -> float:
    """Return what a crown costs at least that is too short before pairs are left out.

    With t pairs missing it costs weight x (short - t gain)^2 + pair x t^2 at least; that is least
    where its slope is nothing.

    Args:
        short: by how many rows.
        gain: by how many rows a pair less makes it longer at most.
        pair: what the first missing pair costs.
        most: how many pairs less make it longer.
    """
    weight = CROWN_WEIGHT.value
    missing = min(most, weight * gain * short / (pair + weight * gain * gain))
    left = max(0.0, short - missing * gain)
    return weight * left * left + pair * missing * missing - DUST.value


def _fewest(shaping: Shaping) -> int:
    """Return the fewest pairs that a crown is made with."""
    return min(1, shaping.crown_rows, shaping.crown_pairs)


class _End(NamedTuple):
    """A shaping with the usual pairs in its crown.

    Attributes:
        shaping: the shaping.
        miss: by how many rows its nape is longer than the aim.
        missing: what the pairs missing in the nape cost.
        over: by how many mm its crown is longer than the aim.
    """

    shaping: Shaping
    miss: float
    missing: float
    over: float

    @property
    def nape(self) -> float:
        """Return what the nape costs."""
        return NAPE_WEIGHT.value * self.miss * self.miss + self.missing


class Crowns:
    """The crowns of a hood of so many stitches, aimed at a length in mm.

    Attributes:
        fold: nape and crown aimed at, in mm.
        looked_at: how many were measured so far.
    """

    def __init__(self, stitches: int, aim: float, nape: float, gauge: Gauge) -> None:
        """Take what is the same for all of them; `nape` is aimed at, in mm, too."""
        self._stitches = stitches
        self._aim = aim
        self._nape = nape
        self._gauge = gauge
        self._row_mm = gauge.row_mm
        self._stitch = gauge.stitch_mm / gauge.row_mm
        self.fold = nape + aim
        self.looked_at = 0

    def _over(self, shaping: Shaping) -> float:
        """Return by how many mm a crown is longer than the aim."""
        self.looked_at += 1
        return crown_of(shaping, self._stitches, self._gauge) - self._aim

    def _longest(self, shaping: Shaping) -> float:
        """Return by how many mm a crown is over that has the fewest pairs."""
        return self._over(shaping._replace(crown_pairs=_fewest(shaping)))

    def _cost(self, over: float, longest: float, pair: float, pairs: int) -> float:
        """Return what a crown costs at least with the usual pairs or fewer.

        Args:
            over: by how many mm it is over with the usual ones.
            longest: with the fewest.
            pair: what the first missing pair costs.
            pairs: how many are between; 0 where they are not known.
        """
        rows = over / self._row_mm
        if rows >= 0:
            return CROWN_WEIGHT.value * rows * rows - DUST.value
        stitch, more = self._stitch, (longest - over) / self._row_mm
        # No pair less makes a crown longer by more than a stitch.
        cost = _short_cost(-rows, stitch, pair, more / stitch)
        short = -rows - 2 * stitch
        if pairs and short > 0:
            # The fewer pairs are left, the more one less gains, so that the first gain less than
            # all on average; but for a last row that is half a step, within two stitches.
            cost = max(cost, _short_cost(short, more / pairs, pair, pairs))
        return cost

    def at_least(self, usual: Shaping, plain: Shaping) -> float:
        """Return what the crowns of a crown row cost at least, with what is missing in its pairs.

        Args:
            usual: with as many pairs in nape and crown as common practice has.
            plain: with none in the nape.
        """
        return self._cost(self._over(usual), self._longest(plain), _EITHER_PAIR, 0)

    def of(
        self, shaped: Callable[[int], Shaping], pairs: range, most: int, under: float
    ) -> Iterator[Shaping]:
        """Yield the shapings of one crown row that may cost less than `under`.

        Nape and crown follow the nape's pairs steadily, so what lies between two numbers of them
        costs at least what the nearer ends do; what may do is halved until it is one number.

        Args:
            shaped: a shaping with so many pairs in the nape, and the usual ones in the crown.
            pairs: numbers of nape pairs, downwards; so are the shapings.
            most: the pairs of the nape in common practice.
            under: what nape and crown must cost less than.
        """
        ends: dict[int, _End] = {}
        spans = [(pairs[-1], pairs[0])] if pairs else []
        while spans:
            low, high = spans.pop()
            for number in (low, high):
                if number not in ends:
                    ends[number] = self._end(shaped(number), most)
            end = ends[low]
            if self._between(end, ends[high]) >= under:
                continue
            if low == high:
                yield from self._with_fewer(end.shaping, end.over, under - end.nape)
                continue
            middle = (low + high) // 2
            spans += [(low, middle), (middle + 1, high)]

    def _between(self, fewest: "_End", most: "_End") -> float:
        """Return what nape and crown cost at least with pairs from the fewest to the most."""
        short, long = fewest.miss, most.miss
        nape = short if short > 0 else min(0.0, long)
        cost = NAPE_WEIGHT.value * nape * nape + most.missing
        pair = CROWN_FULLNESS.value
        if most.over > 0:
            return cost + self._cost(most.over, most.over, pair, 0)
        if fewest.over < 0:
            shaping = fewest.shaping
            pairs = shaping.crown_pairs - _fewest(shaping)
            return cost + self._cost(fewest.over, self._longest(shaping), pair, pairs)
        return cost - DUST.value

    def _end(self, shaping: Shaping, most: int) -> "_End":
        """Return how long nape and crown of a shaping are."""
        miss = (nape_of(shaping, self._gauge) - self._nape) / self._row_mm
        missing = most - shaping.nape_pairs
        return _End(shaping, miss, NAPE_FULLNESS.value * missing * missing, self._over(shaping))

    def _with_fewer(self, shaping: Shaping, over: float, under: float) -> Iterator[Shaping]:
        """Yield a shaping with fewer and fewer crown pairs, until the crown is long enough."""
        reach = _reach(under, self._gauge)
        if over >= reach or under + DUST.value <= 0:
            return
        usual = shaping.crown_pairs
        missing = floor(sqrt((under + DUST.value) / CROWN_FULLNESS.value))
        least = max(_fewest(shaping), usual - missing)
        for pairs in range(self._most_pairs(shaping, least, -reach), least - 1, -1):
            one = shaping._replace(crown_pairs=pairs)
            yield one
            if self._over(one) >= 0:
                return

    def _most_pairs(self, shaping: Shaping, least: int, over: float) -> int:
        """Return the most crown pairs, `least` at the fewest, that leave a crown `over` or more.

        Fewer pairs only make it longer, so halving finds them.
        """
        low, high = least, shaping.crown_pairs
        while low < high:
            middle = (low + high + 1) // 2
            if self._over(shaping._replace(crown_pairs=middle)) >= over:
                low = middle
            else:
                high = middle - 1
        return low
