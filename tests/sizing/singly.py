"""A second stitch machine, that works each stitch by itself, to hold the first against.

It keeps every loop with the stitches of the first row under it, and how it was made; it knows
nothing of loops that are alike, nor of rows that leave them as they are.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from sizing.rows import Op, Row

TWO_INTO_ONE = {Op.DEC, Op.SC2TOG}


@dataclass(frozen=True)
class Loop:
    under: tuple[int, ...]
    op: Op

    @property
    def span(self) -> int:
        """How many stitches of the first row stand under it."""
        return len(self.under)


class RefusedError(Exception):
    """A row that cannot be worked, or does not lie about the centre back."""


def steps(row: Row) -> Iterator[Op]:
    """The stitches of a row, one by one."""
    for operation in row.operations:
        for _ in range(operation.count):
            yield operation.op


def _one(op: Op, below: list[Loop]) -> list[Loop]:
    """The loops that one stitch makes; those that it takes are gone from below."""
    if len(below) < (2 if op in TWO_INTO_ONE else 1):
        raise RefusedError("a stitch is missing")
    taken = [below.pop(0) for _ in range(2 if op in TWO_INTO_ONE else 1)]
    if op is Op.SC_CH and taken[0].op is not Op.CH:
        raise RefusedError("there is no chain")
    if op is not Op.SC_CH and any(loop.op is Op.CH for loop in taken):
        raise RefusedError("a chain is not worked into")
    under = tuple(foot for loop in taken for foot in loop.under)
    made = Loop(under, Op.CH if op is Op.SKIP else op)
    return [made, made] if op is Op.INC else [made]


def worked_row(below: list[Loop], row: Row) -> list[Loop]:
    """The loops that a row makes of those below it, the nearest first."""
    left, made, chains = list(below), list[Loop](), 0
    for op in steps(row):
        if op is Op.CH:
            chains += 1
            continue
        if op is not Op.SKIP and chains:
            raise RefusedError("chains with no stitch under them")
        if op is Op.SKIP:
            chains -= 1
        if chains < 0:
            raise RefusedError("skipped with no chain")
        made += _one(op, left)
    if chains or left:
        raise RefusedError("chains or stitches are left over")
    if len(made) != row.stitches:
        raise RefusedError("it says another number of stitches")
    return made


def _about_the_centre(made: list[Loop], row: Row) -> None:
    shaped = [place for place, loop in enumerate(made) if loop.op in TWO_INTO_ONE]
    if not shaped and all(loop.op is not Op.CH for loop in made):
        return
    seen = [(loop.span, loop.op) for loop in made]
    if seen != seen[::-1] or (shaped and shaped != list(range(shaped[0], shaped[-1] + 1))):
        raise RefusedError(f"row {row.row} is not alike on both sides")
    if made[0].op in {*TWO_INTO_ONE, Op.CH}:
        raise RefusedError(f"row {row.row} is shaped at the edge")


def fresh(count: int) -> list[Loop]:
    """Loops that nothing is known of."""
    return [Loop((place,), Op.SC) for place in range(count)]


def hood_worked(loops: list[Loop], rows: tuple[Row, ...]) -> list[Loop]:
    """The loops left when rows of a hood are made, the work turned before each.

    Raises:
        RefusedError: at the first row that cannot be worked.
    """
    for row in rows:
        loops = worked_row(loops[::-1], row)
        _about_the_centre(loops, row)
    if any(loop.op is Op.CH for loop in loops):
        raise RefusedError("an opening is not closed")
    return loops
