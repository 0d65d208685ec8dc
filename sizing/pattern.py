"""From a row plan to the rows a maker works."""

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise
from typing import Final

from sizing.rowplan import RowPlan
from sizing.rows import (
    Op,
    Operation,
    Part,
    PartName,
    Pattern,
    Row,
    Side,
    plain_row,
    stitches_of,
)
from sizing.variants.buttoned import Buttoned
from sizing.variants.ears import EarSlots
from sizing.variants.make import PLAIN, Make
from sizing.variants.pickup import pick_up
from sizing.variants.stripes import colours

_SC: Final = Op.SC
_DECREASES: Final = (Op.SC2TOG, Op.DEC)
"""The decrease that suits the side, by the remainder of the row's number by two."""


def side_of(row: int) -> Side:
    """Return the side that faces the maker: odd rows are right side rows."""
    return Side.RIGHT if row % 2 else Side.WRONG


def _plain(op: Op, stitches: int, rows: Iterable[int]) -> list[Row]:
    """Return rows of one stitch in each; they are alike but for number and side."""
    return [plain_row(row, op, stitches) for row in rows]


def _coloured(part: Part, names: tuple[str, ...]) -> Part:
    """Return a part with a colour for each of its rows."""
    rows = zip(part.rows, names, strict=True)
    return replace(part, rows=tuple(replace(row, colour=name) for row, name in rows))


def _holes(buttoned: Buttoned, row: int, op: Op) -> Row:
    """Return a row with the buttonholes: chained over, or with the chains worked into."""
    over = (Operation(Op.CH, buttoned.hole), Operation(Op.SKIP, buttoned.hole))
    hole = over if op is Op.CH else (Operation(op, buttoned.hole),)
    # The row that fills them comes back from the other end.
    first, *rest = buttoned.solid if op is Op.CH else buttoned.solid[::-1]
    operations = [Operation(Op.SC_BLO, first)]
    for solid in rest:
        operations += [*hole, Operation(Op.SC_BLO, solid)]
    stitches = sum(buttoned.solid) + buttoned.buttons * buttoned.hole
    return Row(row, side_of(row), tuple(operations), stitches)


def _overlap(plan: RowPlan, buttoned: Buttoned) -> tuple[Row, ...]:
    """Return the rows of a buttoned collar that lap over."""
    begin = plan.collar_rows + 1
    holes = begin + buttoned.hole_row - 1
    before, after = range(begin, holes), range(holes + 2, begin + buttoned.overlap)
    return (
        *_plain(Op.SC_BLO, plan.collar_stitches, before),
        _holes(buttoned, holes, Op.CH),
        _holes(buttoned, holes + 1, Op.SC_CH),
        *_plain(Op.SC_BLO, plan.collar_stitches, after),
    )


def collar(plan: RowPlan, make: Make = PLAIN) -> Part:
    """Return the collar: a strip worked sideways through the back loops."""
    rows = (
        *_plain(Op.SC, plan.collar_stitches, (1,)),
        *_plain(Op.SC_BLO, plan.collar_stitches, range(2, plan.collar_rows + 1)),
    )
    part = Part(
        PartName.COLLAR,
        rows if make.buttoned is None else (*rows, *_overlap(plan, make.buttoned)),
        foundation_chain=plan.collar_stitches + 1,
        turning_chain=make.turning_chain,
        overlap=make.buttoned.overlap if make.buttoned else 0,
    )
    if make.stripes is None:
        return part
    return _coloured(part, colours(make.stripes.collar, len(part.rows)))


def collar_seam(plan: RowPlan) -> Part:
    """Return the seam that makes the strip a tube, worked wrong side out."""
    operation = Operation(Op.SL_ST, plan.collar_stitches)
    return Part(PartName.COLLAR_SEAM, (Row(1, Side.WRONG, (operation,), 0),))


def _picked_up(plan: RowPlan, make: Make) -> Row:
    """Return the first row of the hood, along the row ends of the collar."""
    operations = pick_up(plan.collar_rows, plan.hood_stitches)
    if make.buttoned is not None:
        operations = (*operations, Operation(Op.SKIP, make.buttoned.overlap))
    return Row(1, Side.RIGHT, operations, plan.hood_stitches)


def _between(row: int, between: int, decreases: int) -> tuple[Operation, ...]:
    """Return plain stitches with decreases in their middle, the kind that suits the side."""
    if not decreases:
        return (stitches_of(_SC, between),)
    beside = stitches_of(_SC, (between - 2 * decreases) // 2)
    return (beside, stitches_of(_DECREASES[row % 2], decreases), beside)


def _beside_ears(row: int, ears: EarSlots, before: int, decreases: int) -> tuple[Operation, ...]:
    """Return a row that makes the openings for the ears, or one that closes them."""
    front = Operation(Op.SC, ears.beside)
    over = (Operation(Op.CH, ears.stitches), Operation(Op.SKIP, ears.stitches))
    slot = over if row == ears.row else (Operation(Op.SC_CH, ears.stitches),)
    back = _between(row, before - 2 * (ears.beside + ears.stitches), decreases)
    return (front, *slot, *back, *slot, front)


def shaped_row(row: int, before: int, decreases: int, ears: EarSlots | None = None) -> Row:
    """Return one row of the hood after the first; its decreases stand in the middle.

    Args:
        row: its number.
        before: the stitches of the row below.
        decreases: how many decreases, an even number.
        ears: the openings for the ears, or None.
    """
    if ears is not None and row - ears.row in {0, 1}:
        operations = _beside_ears(row, ears, before, decreases)
    elif decreases:
        operations = _between(row, before, decreases)
    else:
        return plain_row(row, _SC, before)
    return Row(row, side_of(row), operations, before - decreases)


def hood(plan: RowPlan, make: Make = PLAIN) -> Part:
    """Return the hood, picked up from the row ends of the collar."""
    shaped = enumerate(pairwise(plan.counts()[1:]), start=2)
    rows = [_picked_up(plan, make)]
    rows += [shaped_row(row, below, below - after, make.ears) for row, (below, after) in shaped]
    part = Part(PartName.HOOD, tuple(rows), turning_chain=make.turning_chain)
    if make.stripes is None:
        return part
    return _coloured(part, colours(make.stripes.hood, len(rows)))


def crown_seam(last_stitches: int) -> Part:
    """Return the seam over the top, folded at the centre back, wrong side out."""
    operation = Operation(Op.WHIP, last_stitches // 2)
    return Part(PartName.CROWN_SEAM, (Row(1, Side.WRONG, (operation,), 0),))


def edging(operations: tuple[Operation, ...]) -> Part:
    """Return the edging round the face, right side out."""
    made = {Op.INC: 2, Op.SKIP: 0}
    stitches = sum(made.get(o.op, 1) * o.count for o in operations)
    return Part(PartName.EDGING, (Row(1, Side.RIGHT, operations, stitches),))


def _seamed(part: Part, colour: str) -> Part:
    """Return a seam in the colour of the yarn at hand."""
    return _coloured(part, (colour,))


def closing(last_stitches: int, colour: str, make: Make = PLAIN) -> tuple[Part, ...]:
    """Return what follows the hood: the crown seam, the edging and the add-ons.

    Args:
        last_stitches: stitches of the hood's last row.
        colour: of that row; empty for the only one.
        make: the variants.
    """
    parts = [_seamed(crown_seam(last_stitches), colour)]
    if make.edging:
        own = make.stripes.edging_colour if make.stripes else ""
        parts.append(_coloured(edging(make.edging), (own,)))
    return (*parts, *make.add_ons)


def pattern_of(plan: RowPlan, make: Make = PLAIN) -> Pattern:
    """Return the whole pattern of a row plan."""
    strip, cap = collar(plan, make), hood(plan, make)
    seam = () if make.buttoned else (_seamed(collar_seam(plan), strip.rows[-1].colour),)
    last = cap.rows[-1]
    return Pattern((strip, *seam, cap, *closing(last.stitches, last.colour, make)))
