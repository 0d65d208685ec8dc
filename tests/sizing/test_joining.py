"""How many stitches the hood takes up along the collar."""

import pytest
from hypothesis import given, settings

from sizing.fit import Dimensions, reduction, target
from sizing.gauge import Gauge, default_gauge
from sizing.joining import edge_strain, picked_up
from sizing.machine import replay
from sizing.pattern import pattern_of
from sizing.plan import make_plan
from sizing.rows import Op, PartName
from sizing.search import choose
from sizing.stretch import by_fibre
from sizing.style import Terms
from sizing.variants.pickup import least_picked_up, most_picked_up
from sizing.wording import row_text
from sizing.yarns import WeightClass
from tests.sizing.builders import ACRYLIC, COTTON_BLEND, request, spaniel, yarn
from tests.sizing.strategies import gauges, reals
from tests.sizing.test_rowplan import aims


@given(aims(), gauges(), reals(40.0, 1200.0))
@settings(max_examples=150)
def test_the_machine_picks_up_what_is_planned_and_no_edge_is_worse_than_one_in_each_row_end(
    aim: Dimensions, gauge: Gauge, neck: float
) -> None:
    plan = choose(aim, gauge, neck)
    ends, stitches = plan.collar_rows, plan.hood_stitches
    pattern = pattern_of(plan)

    assert dict(replay(pattern).made)
    assert pattern.part(PartName.HOOD).rows[0].stitches == stitches
    assert stitches % 2 == 0
    plain = edge_strain(ends, neck, gauge)
    if -0.2 <= plain <= 0.2:
        assert plan.pickup == 0  # the craft
    else:
        assert stitches >= ends if plain > 0 else stitches <= ends
        # One pair of row ends fewer would not do.
        nearer = stitches - 2 if plain > 0 else stitches + 2
        if min(ends, stitches) < nearer < max(ends, stitches):
            assert not -0.2 <= edge_strain(nearer, neck, gauge) <= 0.2


@given(gauges(), reals(40.0, 1200.0))
def test_an_edge_that_row_ends_can_mend_lies_within_what_the_neck_bears(
    gauge: Gauge, neck: float
) -> None:
    ends = max(6, 2 * round(neck / gauge.rib_row_mm / 2))
    stitches = picked_up(ends, neck, gauge)

    if max(6, least_picked_up(ends)) < stitches < most_picked_up(ends) and stitches >= 20:
        assert -0.2 - 1e-9 <= edge_strain(stitches, neck, gauge) <= 0.2 + 1e-9


@pytest.mark.parametrize("fibres", [ACRYLIC, COTTON_BLEND])
@pytest.mark.parametrize("weight_class", WeightClass)
def test_in_the_usual_gauges_each_row_end_takes_one_stitch(
    weight_class: WeightClass, fibres: tuple[tuple[object, int], ...]
) -> None:
    wool = yarn(fibres, weight_class)  # type: ignore[arg-type]
    aim = target(spaniel(), reduction(by_fibre(wool), frozenset()))

    assert choose(aim, default_gauge(wool), spaniel().neck_girth).pickup == 0


def test_common_practice_draws_the_edge_by_a_ninth() -> None:
    # 40 sc of 8 mm on a 14 in neck; common practice, no source.
    rows = make_plan(request()).rows

    strain = edge_strain(rows.hood_stitches, spaniel().neck_girth, default_gauge(yarn()))

    assert strain == pytest.approx(1 / 9, abs=0.001)


def test_where_rib_rows_lie_far_closer_than_stitches_some_row_ends_are_left_out() -> None:
    # 66 row ends of 4.2 mm, but a stitch is 8 mm wide: 66 of them would lie in folds.
    gauge = Gauge(12.5, 23.7, 12.5, 14, tested=True)
    aim = target(spaniel(), reduction(by_fibre(yarn()), frozenset()))

    plan = choose(aim, gauge, spaniel().neck_girth)
    first = pattern_of(plan).part(PartName.HOOD).rows[0]

    assert (plan.collar_rows, plan.hood_stitches) == (66, 54)
    assert sum(o.count for o in first.operations if o.op is Op.SKIP) == 12
    text = row_text(PartName.HOOD, first, Terms.US)
    assert "skip next row end" in text
    assert text.endswith("(54 sts)")


def test_where_rib_rows_lie_far_wider_than_stitches_some_row_ends_take_two() -> None:
    gauge = Gauge(12.5, 9.5, 12.5, 14, tested=True)
    aim = target(spaniel(), reduction(by_fibre(yarn()), frozenset()))

    plan = choose(aim, gauge, spaniel().neck_girth)
    first = pattern_of(plan).part(PartName.HOOD).rows[0]

    assert (plan.collar_rows, plan.hood_stitches) == (26, 38)
    assert sum(o.count for o in first.operations if o.op is Op.INC) == 12
    assert edge_strain(38, spaniel().neck_girth, gauge) <= 0.2 < edge_strain(36, 355.6, gauge)
