"""A leaf is shaped on right side rows, where the invisible decrease belongs, if they suffice."""

from itertools import pairwise

import pytest
from hypothesis import given, reject

from sizing.addons import AddOn, Shape, part_of
from sizing.addons.leaf import WIDEST, leaf_counts
from sizing.errors import ValueOutOfRangeError
from sizing.gauge import Gauge
from sizing.machine import tally
from sizing.pattern import pattern_of
from sizing.rows import Op, PartName
from sizing.variants import Make
from tests.sizing.builders import row_plan
from tests.sizing.strategies import coherent_gauges, reals

GAUGE = Gauge(12.5, 14.3, 12.5, 14.1, tested=True)


@given(coherent_gauges(), reals(32.0, 150.0), reals(58.0, 300.0))
def test_wrong_side_rows_are_shaped_only_where_right_side_rows_are_too_few(
    gauge: Gauge, across: float, long: float
) -> None:
    try:
        counts = leaf_counts(across, long, gauge)
    except ValueOutOfRangeError:
        reject()
    rows = range(1, len(counts))
    turn = max(1, round(len(rows) * WIDEST.value))
    for first, last in ((2, turn), (turn + 1, len(rows))):
        shaped = [row for row in rows if first <= row <= last and counts[row] != counts[row - 1]]
        right = [row for row in range(first, last + 1) if row % 2]
        if any(row % 2 == 0 for row in shaped):
            assert len(shaped) > len(right)


@given(coherent_gauges(), reals(32.0, 150.0), reals(58.0, 300.0))
def test_a_leaf_is_refused_only_where_each_row_shaped_would_not_do(
    gauge: Gauge, across: float, long: float
) -> None:
    rows = max(2, round(long / gauge.row_mm), int(57.1 // gauge.row_mm) + 1)
    try:
        counts = leaf_counts(across, long, gauge)
    except ValueOutOfRangeError:
        # From widest to tip every row takes two stitches off, from base to widest one adds two.
        widest = max(across / gauge.stitch_mm, 31.7 // gauge.stitch_mm + 2)
        assert widest / 2 > rows * (1 - WIDEST.value) - 2 or widest / 4 > rows * WIDEST.value - 3
        return
    assert len(counts) == rows + 1
    assert all(abs(after - before) <= 2 for before, after in pairwise(counts))


def test_a_long_leaf_needs_no_decrease_that_shows() -> None:
    leaf = part_of(AddOn(Shape.LEAF, 60, 150), GAUGE)

    kinds = {operation.op for row in leaf.rows for operation in row.operations}
    assert kinds == {Op.SC, Op.INC, Op.DEC}


@pytest.mark.parametrize("turning", [0, 1])
def test_two_leaves_take_twice_of_everything(turning: int) -> None:
    def work(copies: int) -> tuple[int, int, int, dict[Op, int]]:
        leaf = part_of(AddOn(Shape.LEAF, 60, 90, copies), GAUGE, turning)
        pattern = pattern_of(row_plan(), Make(turning_chain=turning, add_ons=(leaf,)))
        (found,) = [one for one in tally(pattern) if one.part is PartName.LEAF]
        return found.chains, found.rows, found.ends, dict(found.made)

    one, two = work(1), work(2)
    assert two[:3] == tuple(2 * number for number in one[:3])
    assert two[3] == {op: 2 * number for op, number in one[3].items()}
