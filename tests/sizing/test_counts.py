"""A row plan tells its stitches in several ways, and they say the same."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.gauge import Gauge
from sizing.pattern import pattern_of
from sizing.rowplan import RowPlan
from sizing.rows import PartName
from sizing.shape import finished, nape_by_rows
from tests.sizing.strategies import coherent_gauges
from tests.sizing.test_machine import row_plans


@given(row_plans(), st.integers(0, 4))
def test_the_counts_are_those_after_each_row_of_the_pattern(plan: RowPlan, plain: int) -> None:
    # Plain rows at the top: the pairs need not name rows that do not decrease.
    plan = replace(plan, hood_rows=plan.hood_rows + plain)
    rows = pattern_of(plan).part(PartName.HOOD).rows

    assert plan.counts() == [plan.stitches_after(row) for row in range(plan.hood_rows + 1)]
    assert plan.counts()[1:] == [row.stitches for row in rows]
    assert plan.counts()[0] == plan.hood_stitches


@given(row_plans(), coherent_gauges())
def test_a_nape_follows_the_row_gauge_as_its_derivative_says(plan: RowPlan, gauge: Gauge) -> None:
    # d ln(nape) / d ln(row height), by a central difference of the length itself.
    step = 1e-5
    rows = gauge.plain_rows
    longer, shorter = (
        finished(plan, replace(gauge, plain_rows=rows / factor)).nape
        for factor in (1 + step, 1 - step)
    )
    middle = finished(plan, gauge).nape
    found = nape_by_rows(plan, gauge)

    assert found == pytest.approx((longer - shorter) / (2 * step * middle), abs=1e-4)
