"""Openings for the ears: where they lie, and why they sometimes cannot."""

import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from sizing.errors import ValueOutOfRangeError
from sizing.gauge import Gauge
from sizing.rowplan import RowPlan
from sizing.rows import Op, PartName, Side
from sizing.variants import ear_openings
from sizing.wishes import Wishes
from tests.sizing.builders import row_plan
from tests.sizing.strategies import coherent_gauges, reals
from tests.sizing.test_variants import GAUGE, hood_of

EAR_FIELDS = {"ear_base", "ear_from_centre", "ear_above_collar"}


def test_ear_openings_are_chained_over_in_one_row_and_closed_in_the_next() -> None:
    pattern = hood_of(Wishes(ear_base_mm=32, ear_from_centre_mm=40))
    rows = pattern.part(PartName.HOOD).rows

    # 28 stitches where the crown begins: 8 mm each, so 4 stitches open 5 from the centre.
    assert [(o.op, o.count) for o in rows[13].operations] == [
        (Op.SC, 5), (Op.CH, 4), (Op.SKIP, 4), (Op.SC, 10), (Op.CH, 4), (Op.SKIP, 4), (Op.SC, 5),
    ]  # fmt: skip
    assert [(o.op, o.count) for o in rows[14].operations] == [
        (Op.SC, 5), (Op.SC_CH, 4), (Op.SC, 1), (Op.DEC, 4), (Op.SC, 1), (Op.SC_CH, 4), (Op.SC, 5),
    ]  # fmt: skip
    assert (rows[13].stitches, rows[14].stitches) == (28, 24)
    assert rows[13].side is Side.WRONG


@given(reals(1.0, 400.0), reals(1.0, 400.0), st.none() | reals(1.0, 400.0), coherent_gauges())
def test_ear_openings_keep_clear_of_edges_and_decreases_or_say_why_not(
    base: float, apart: float, above: float | None, gauge: Gauge
) -> None:
    plan = row_plan(48)
    try:
        ears = ear_openings(plan, gauge, base, apart, above)
    except ValueOutOfRangeError as refused:
        kept = str(refused), refused.field
        event(kept[1])
        if kept[0].startswith("No ear openings: ") and kept[1] in EAR_FIELDS:
            return
        raise
    half = plan.stitches_after(ears.row) // 2
    inner = half - ears.beside - ears.stitches
    decreases = plan.stitches_after(ears.row) - plan.stitches_after(ears.row + 1)
    assert ears.beside >= 2
    assert inner >= decreases + 1
    assert ears.row % 2 == 0
    assert 4 <= ears.row <= plan.hood_rows - 3
    assert ears.stitches == max(2, round(base / gauge.stitch_mm))
    assert abs(inner * gauge.stitch_mm - apart) <= gauge.stitch_mm / 2 + 1e-6


@pytest.mark.parametrize(
    ("base", "apart", "above", "field", "why"),
    [
        (30, 10, None, "ear_from_centre", "decreases"),
        (90, 40, None, "ear_base", "front edge"),
        (30, 40, 5, "ear_above_collar", "above the collar"),
        (30, 40, 500, "ear_above_collar", "above the collar"),
        (0, 40, None, "ear_base", "over 0"),
        (30, float("nan"), None, "ear_from_centre", "over 0"),
        (30, 40, float("inf"), "ear_above_collar", "over 0"),
    ],
)
def test_ear_openings_that_cannot_be_are_refused_with_the_reason(
    base: float, apart: float, above: float | None, field: str, why: str
) -> None:
    with pytest.raises(ValueOutOfRangeError, match=why) as caught:
        ear_openings(row_plan(), GAUGE, base, apart, above)

    assert caught.value.field == field


def test_ear_openings_need_both_lengths_and_rows_enough() -> None:
    with pytest.raises(ValueOutOfRangeError, match="two lengths"):
        hood_of(Wishes(ear_base_mm=30))
    with pytest.raises(ValueOutOfRangeError, match="two lengths"):
        hood_of(Wishes(ear_from_centre_mm=30))
    with pytest.raises(ValueOutOfRangeError, match="only 6 rows"):
        ear_openings(RowPlan(4, 20, 6, 7, (0, 0)), GAUGE, 20, 30)
