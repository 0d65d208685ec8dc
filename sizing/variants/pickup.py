"""Picking up stitches along row ends, evenly spread and alike on both halves."""

from itertools import groupby

from sizing.errors import ValueOutOfRangeError
from sizing.evenly import middles
from sizing.rows import Op, Operation


def least_picked_up(ends: int) -> int:
    """Return the fewest stitches on so many row ends: never two left out side by side."""
    half = ends // 2
    return 2 * (half - (half - 1) // 2)


def most_picked_up(ends: int) -> int:
    """Return the most stitches on so many row ends: two in each."""
    return 2 * ends


def runs(kinds: list[Op]) -> tuple[Operation, ...]:
    """Return stitches one by one as operations, equal neighbours together."""
    return tuple(Operation(op, len(list(same))) for op, same in groupby(kinds))


def pick_up(ends: int, stitches: int, op: Op = Op.SC) -> tuple[Operation, ...]:
    """Return the row that makes so many stitches along so many row ends.

    One in each where the numbers agree; else evenly spread row ends take two, or none. The
    second half is the first in the mirror, so that the centre back stays the centre.

    Args:
        ends: row ends, an even number.
        stitches: stitches to make, an even number.
        op: the stitch.

    Raises:
        ValueOutOfRangeError: if that would leave a hole or crowd three into one row end.
    """
    least, most = least_picked_up(ends), most_picked_up(ends)
    if ends % 2 or stitches % 2 or not least <= stitches <= most:
        reason = (
            f"From {ends} row ends an even number of stitches from {least} to {most} can be picked"
            f" up, not {stitches}."
        )
        raise ValueOutOfRangeError("hood_stitches", reason)
    half, odd = ends // 2, abs(stitches - ends) // 2
    kinds = [op] * half
    for place in middles(odd, half):
        kinds[place] = Op.INC if stitches > ends else Op.SKIP
    return runs(kinds + kinds[::-1])
