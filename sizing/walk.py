"""A fair plan, found by walking: the search for the best need only beat it.

Where every hood is bad, a measured crown being much too long say, the plan of common practice is
the worst guess of all, and nearly everything would have to be looked at to beat it.
"""

from typing import Final

from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.rowplan import FIRST_DECREASE_ROW, LEAST_HOOD_ROWS, room_of
from sizing.shaping import Shaping, most_nape_pairs, shaping_cost, with_nape

_Place = tuple[int, ...]
"""Hood rows, crown row, pairs missing in the nape and in the crown."""
_WAYS: Final[tuple[_Place, ...]] = (
    (1, 0, 0, 0), (-1, 0, 0, 0), (0, 2, 0, 0), (0, -2, 0, 0), (2, 2, 0, 0), (-2, -2, 0, 0),
    (0, 0, 1, 0), (0, 0, -1, 0), (0, 0, 0, 1), (0, 0, 0, -1),
)  # fmt: skip
"""The ways from one place to the next."""


def _shaped(place: _Place, stitches: int) -> Shaping | None:
    """Return the shaping at a place of the walk, or None where there is none."""
    hood_rows, crown_row, nape_missing, crown_missing = place
    first = int(FIRST_DECREASE_ROW.value)
    if hood_rows < LEAST_HOOD_ROWS.value or not first <= crown_row <= hood_rows:
        return None
    room = room_of(stitches)
    bare = Shaping(hood_rows, crown_row, 0, 0)
    nape = most_nape_pairs(bare, room) - nape_missing
    if nape_missing < 0 or crown_missing < 0 or nape < 0:
        return None
    usual = with_nape(bare, room, nape)
    crown = usual.crown_pairs - crown_missing
    return usual._replace(crown_pairs=crown) if crown >= min(1, usual.crown_pairs) else None


def fair_shaping(first: Shaping, hood_stitches: int, aim: Dimensions, gauge: Gauge) -> Shaping:
    """Return a fair plan, which the best need only beat.

    A walk from the first: rows, crown row and missing pairs by long steps, then by shorter ones,
    as long as that costs less. Where every hood is bad, the first is the worst guess of all.
    """
    best, least = first, shaping_cost(first, hood_stitches, aim, gauge)
    crown_row = min(first.crown_row, first.hood_rows - 1 + first.hood_rows % 2)
    place: _Place = (first.hood_rows, crown_row, 0, 0)
    step = 1
    while step * step < least:
        step *= 2
    while step:
        moved = False
        for way in _WAYS:
            there = tuple([at + step * by for at, by in zip(place, way, strict=True)])
            shaping = _shaped(there, hood_stitches)
            cost = shaping_cost(shaping, hood_stitches, aim, gauge) if shaping else least
            if shaping and cost < least:
                place, best, least, moved = there, shaping, cost, True
        step = step if moved else step // 2
    return best
