"""From a row plan to the rows a maker works."""

from sizing.rowplan import RowPlan
from sizing.rows import Op, Operation, Part, PartName, Pattern, Row, Side


def side_of(row: int) -> Side:
    """Return the side that faces the maker: odd rows are right side rows."""
    return Side.RIGHT if row % 2 else Side.WRONG


def _plain(op: Op, row: int, stitches: int) -> Row:
    return Row(row, side_of(row), (Operation(op, stitches),), stitches)


def collar(plan: RowPlan) -> Part:
    """Return the collar: a strip worked sideways through the back loops."""
    first = _plain(Op.SC, 1, plan.collar_stitches)
    rest = tuple(
        _plain(Op.SC_BLO, row, plan.collar_stitches) for row in range(2, plan.collar_rows + 1)
    )
    return Part(PartName.COLLAR, (first, *rest), foundation_chain=plan.collar_stitches + 1)


def collar_seam(plan: RowPlan) -> Part:
    """Return the seam that makes the strip a tube, worked wrong side out."""
    operation = Operation(Op.SL_ST, plan.collar_stitches)
    return Part(PartName.COLLAR_SEAM, (Row(1, Side.WRONG, (operation,), 0),))


def hood_row(plan: RowPlan, row: int) -> Row:
    """Return one row of the hood; its decreases stand in the middle."""
    before, after = plan.stitches_after(row - 1), plan.stitches_after(row)
    decreases = before - after
    if not decreases:
        return _plain(Op.SC, row, after)
    beside = Operation(Op.SC, (before - 2 * decreases) // 2)
    operations = (beside, Operation(Op.DEC, decreases), beside)
    return Row(row, side_of(row), operations, after)


def hood(plan: RowPlan) -> Part:
    """Return the hood, picked up from the row ends of the collar."""
    rows = tuple(hood_row(plan, row) for row in range(1, plan.hood_rows + 1))
    return Part(PartName.HOOD, rows)


def crown_seam(plan: RowPlan) -> Part:
    """Return the seam over the top, folded at the centre back, wrong side out."""
    operation = Operation(Op.WHIP, plan.last_stitches // 2)
    return Part(PartName.CROWN_SEAM, (Row(1, Side.WRONG, (operation,), 0),))


def pattern_of(plan: RowPlan) -> Pattern:
    """Return the whole pattern of a row plan."""
    return Pattern((collar(plan), collar_seam(plan), hood(plan), crown_seam(plan)))
