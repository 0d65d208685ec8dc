"""Shapes to sew on: their size, their increases, and that none is small enough to swallow."""

from itertools import pairwise
from math import hypot, pi

import pytest
from hypothesis import assume, given, reject, settings
from hypothesis import strategies as st

from sizing.addons import (
    SAFETY,
    AddOn,
    Shape,
    increases_per_round,
    part_of,
    sized,
)
from sizing.errors import PatternFaultError, ValueOutOfRangeError
from sizing.gauge import Gauge
from sizing.machine import replay, tally
from sizing.pattern import pattern_of
from sizing.rows import Op, Operation, Part, PartName, Pattern, Row, Side
from sizing.variants import Make
from tests.sizing.builders import row_plan
from tests.sizing.strategies import coherent_gauges, reals

GAUGE = Gauge(12.5, 14.3, 12.5, 14.1, tested=True)


def with_shapes(*parts: Part) -> Pattern:
    return pattern_of(row_plan(), Make(add_ons=parts))


def counts(part: Part) -> list[int]:
    return [row.stitches for row in part.rows]


@given(reals(4.0, 42.0), reals(0.9, 1.35))
def test_a_disc_gains_two_pi_stitch_gauge_over_row_gauge_a_round(
    stitches: float, ratio: float
) -> None:
    gauge = Gauge(stitches, stitches, stitches, stitches * ratio, tested=True)
    disc = part_of(AddOn(Shape.DISC, 400), gauge)

    each = increases_per_round(gauge)
    assert abs(each - 2 * pi * gauge.plain_stitches / gauge.plain_rows) <= 0.5
    assert counts(disc) == [each * n for n in range(1, len(disc.rows) + 1)]
    replay(with_shapes(disc))


@pytest.mark.parametrize("ratio", [0.97, 1.0, 1.05, 1.13])
def test_six_increases_a_round_where_the_gauge_is_nearly_square(ratio: float) -> None:
    # Published tables of flat circles in single crochet: begin with 6, gain 6 in each round.
    assert increases_per_round(Gauge(14, 14, 14, 14 * ratio, tested=True)) == 6


def test_a_gauge_that_no_single_crochet_has_is_refused() -> None:
    with pytest.raises(ValueOutOfRangeError, match="Count the rows"):
        increases_per_round(Gauge(12, 12, 12, 40, tested=True))
    with pytest.raises(ValueOutOfRangeError, match="Count the rows"):
        increases_per_round(Gauge(12, 12, 40, 12, tested=True))


@given(coherent_gauges(), reals(58.0, 300.0))
def test_a_disc_has_the_diameter_asked_for_to_one_round(gauge: Gauge, across: float) -> None:
    disc = made_or_refused(AddOn(Shape.DISC, across), gauge)

    made = sized(disc, gauge).across_mm
    least = max(4 * gauge.row_mm, 2 * gauge.row_mm * (57.1 // (2 * gauge.row_mm) + 1))
    assert abs(made - across) <= gauge.row_mm + 1e-6 or made == pytest.approx(least)


SIZED = st.tuples(st.sampled_from(Shape), reals(31.8, 400.0), reals(57.2, 400.0))


WHY_NOT = ("stitches round", "too wide for its length", "In whole stitches")
"""What a refusal of a shape in a yarn says."""


def made_or_refused(add_on: AddOn, gauge: Gauge, turning: int = 0) -> Part:
    """A shape; a case in which this yarn cannot make it is no case."""
    try:
        return part_of(add_on, gauge, turning)
    except ValueOutOfRangeError as refused:
        if not any(why in str(refused) for why in WHY_NOT):
            raise
        return reject()


@given(coherent_gauges(), SIZED)
@settings(max_examples=400)
def test_no_shape_is_made_so_small_that_it_fits_the_cylinder(
    gauge: Gauge, asked: tuple[Shape, float, float]
) -> None:
    """As it is made, not as asked for: 31.7 mm wide, 57.1 mm deep (Canada, SOR/2011-17)."""
    shape, across, long = asked
    assume(shape is not Shape.DISC or across > 57.1)
    part = made_or_refused(AddOn(shape, across, 0 if shape is Shape.DISC else long), gauge)

    made = sized(part, gauge)

    assert made.across_mm > 31.7
    assert made.long_mm > 57.1
    assert abs(made.across_mm - across) <= max(2 * gauge.stitch_mm, 0.2 * across) + 1e-6


def test_a_piece_that_thick_yarn_makes_another_is_refused_with_its_size() -> None:
    jumbo = Gauge(5, 5.7, 5, 5.65, tested=True)
    with pytest.raises(ValueOutOfRangeError, match="80 mm across, not 32 mm") as caught:
        part_of(AddOn(Shape.LEAF, 32, 90), jumbo)
    assert caught.value.field == "across_mm"


@given(coherent_gauges(), reals(40.0, 150.0), reals(60.0, 300.0))
def test_a_cone_has_the_base_and_height_asked_for(
    gauge: Gauge, across: float, long: float
) -> None:
    cone = made_or_refused(AddOn(Shape.CONE, across, long), gauge)
    replay(with_shapes(cone))
    slant = len(cone.rows) * gauge.row_mm
    # A cone that would be too low for safety has a round more.
    assert -1e-6 <= slant - hypot(long, across / 2) + gauge.row_mm / 2 <= 2 * gauge.row_mm
    assert counts(cone) == sorted(counts(cone))
    if len(cone.rows) > 5:
        assert abs(counts(cone)[-1] * gauge.stitch_mm / pi - across) <= gauge.stitch_mm


@given(coherent_gauges(), reals(40.0, 150.0), reals(60.0, 300.0))
def test_a_tube_has_the_width_and_length_asked_for(
    gauge: Gauge, across: float, long: float
) -> None:
    tube = made_or_refused(AddOn(Shape.TUBE, across, long), gauge)
    replay(with_shapes(tube))
    size = sized(tube, gauge)
    assert abs(size.across_mm - across) <= gauge.stitch_mm
    sides = [one for one, two in pairwise(counts(tube)) if one == two]
    assert size.long_mm == pytest.approx(len(sides) * gauge.row_mm)
    assert abs(size.long_mm - long) <= gauge.row_mm / 2 + 1e-6 or (
        57.1 < size.long_mm <= 57.1 + gauge.row_mm + 1e-6
    )


@given(coherent_gauges(), reals(32.0, 150.0), reals(58.0, 300.0), st.integers(0, 1))
def test_a_leaf_has_the_width_and_length_asked_for_or_is_refused(
    gauge: Gauge, across: float, long: float, turning: int
) -> None:
    leaf = made_or_refused(AddOn(Shape.LEAF, across, long), gauge, turning)
    replay(pattern_of(row_plan(), Make(turning_chain=turning, add_ons=(leaf,))))
    size = sized(leaf, gauge)
    widths = (abs(size.across_mm - across), size.across_mm - 31.7, 4 * gauge.stitch_mm - across)
    assert widths[0] <= gauge.stitch_mm + max(0, widths[2]) or widths[1] <= 2 * gauge.stitch_mm
    assert abs(size.long_mm - long) <= gauge.row_mm / 2 + max(
        0, 2 * gauge.row_mm - long
    ) + 1e-6 or (57.1 < size.long_mm <= 57.1 + gauge.row_mm + 1e-6)
    assert counts(leaf)[-1] == 2
    widest = counts(leaf).index(max(counts(leaf)))
    assert counts(leaf)[: widest + 1] == sorted(counts(leaf)[: widest + 1])
    assert counts(leaf)[widest:] == sorted(counts(leaf)[widest:], reverse=True)


def test_a_steep_leaf_decreases_on_wrong_side_rows_with_sc2tog() -> None:
    leaf = part_of(AddOn(Shape.LEAF, 110, 90), GAUGE)

    wrong = [row for row in leaf.rows if row.side is Side.WRONG]
    assert any(o.op is Op.SC2TOG for row in wrong for o in row.operations)
    assert not any(o.op is Op.DEC for row in wrong for o in row.operations)


@pytest.mark.parametrize("shape", [Shape.CONE, Shape.TUBE, Shape.LEAF])
@pytest.mark.parametrize(
    ("across", "long"), [(31.7, 90), (40, 57.1), (0, 90), (40, 401), (float("nan"), 90)]
)
def test_what_fits_into_the_small_parts_cylinder_is_refused(
    shape: Shape, across: float, long: float
) -> None:
    with pytest.raises(ValueOutOfRangeError, match="swallowed"):
        AddOn(shape, across, long)


@pytest.mark.parametrize("across", [31.7, 57.1, 401])
def test_a_disc_must_be_larger_than_the_cylinder_is_deep(across: float) -> None:
    with pytest.raises(ValueOutOfRangeError, match="swallowed"):
        AddOn(Shape.DISC, across)


@pytest.mark.parametrize("copies", [0, 13])
def test_a_number_of_pieces_that_nobody_wears_is_refused(copies: int) -> None:
    with pytest.raises(ValueOutOfRangeError):
        AddOn(Shape.DISC, 80, copies=copies)


def test_the_safety_words_name_what_must_not_be() -> None:
    words = " ".join(SAFETY)

    for word in ("swallowed", "button", "vet", "chews", "watching"):
        assert word in words.lower()


def test_two_pieces_take_twice_the_yarn_and_are_sewn_on_all_round() -> None:
    one, two = (part_of(AddOn(Shape.TUBE, 40, 100, many), GAUGE) for many in (1, 2))
    (single,), (double,) = (
        [t for t in tally(with_shapes(part)) if t.part is PartName.TUBE] for part in (one, two)
    )

    assert dict(double.made) == {op: 2 * n for op, n in single.made}
    assert dict(single.made)[Op.WHIP] == counts(one)[-1]
    assert (single.ends, double.ends, double.rows) == (2, 4, 2 * len(one.rows))
    leaf = part_of(AddOn(Shape.LEAF, 60, 90), GAUGE)
    (ear,) = [t for t in tally(with_shapes(leaf)) if t.part is PartName.LEAF]
    assert dict(ear.made)[Op.WHIP] == 4
    assert ear.chains == 5


@given(coherent_gauges(), reals(58.0, 200.0))
@settings(max_examples=50)
def test_increases_of_neighbouring_rounds_do_not_stack_into_corners(
    gauge: Gauge, across: float
) -> None:
    for row in made_or_refused(AddOn(Shape.DISC, across), gauge).rows[2:]:
        starts = row.operations[0].op
        assert (starts is Op.INC) == (row.row % 2 == 0 or row.row == 3) or row.row > 3


@pytest.mark.parametrize(
    ("rows", "why"),
    [
        ((), "no rounds"),
        ((Row(1, Side.RIGHT, (Operation(Op.SC, 2),), 2),), "too few for a ring"),
        ((Row(1, Side.WRONG, (Operation(Op.SC, 6),), 6),), "RS row"),
    ],
)
def test_a_ring_that_holds_nothing_is_refused(rows: tuple[Row, ...], why: str) -> None:
    with pytest.raises(PatternFaultError, match=why):
        replay(with_shapes(Part(PartName.TUBE, rows, rounds=True)))
