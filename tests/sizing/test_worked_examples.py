"""The worked examples of the craft, exactly. All are common practice, no source."""

from decimal import Decimal
from fractions import Fraction

import pytest

from sizing.dogs import Dog, Measurements
from sizing.fit import reduction, target
from sizing.gauge import Gauge, Swatch, default_gauge, default_hook_mm
from sizing.pattern import collar, hood, pattern_of
from sizing.plan import make_plan
from sizing.rowplan import RowPlan
from sizing.rows import Op, Operation, PartName
from sizing.search import choose
from sizing.stretch import by_fibre
from sizing.units import LengthUnit, read_length, show_length
from sizing.wording import Terms, part_opening, row_text
from tests.sizing.builders import COTTON_BLEND, INCH, request, row_plan, spaniel, yarn


def said(plan: RowPlan, row: int, terms: Terms = Terms.US) -> str:
    return row_text(PartName.HOOD, hood(plan).rows[row - 1], terms)


def test_40_collar_rows_give_40_hood_stitches() -> None:
    plan = make_plan(request())

    assert len(plan.pattern.part(PartName.COLLAR).rows) == 40
    assert plan.pattern.part(PartName.HOOD).rows[0].operations == (Operation(Op.SC, 40),)
    assert plan.pattern.part(PartName.HOOD).rows[0].stitches == 40


def test_the_first_decreasing_row_of_40_is_18_sc_2_decreases_18_sc_to_38() -> None:
    row = make_plan(request()).pattern.part(PartName.HOOD).rows[2]

    assert row.row == 3
    assert row.operations == (Operation(Op.SC, 18), Operation(Op.DEC, 2), Operation(Op.SC, 18))
    assert row.stitches == 38
    assert said(row_plan(), 3) == (
        "1 sc in each of next 18 sts, 2 dec over the next 4 sts, 1 sc in each of next 18 sts."
        " (38 sts)"
    )


def test_from_48_the_first_decreasing_row_is_22_2_22_to_46() -> None:
    assert said(row_plan(48), 3) == (
        "1 sc in each of next 22 sts, 2 dec over the next 4 sts, 1 sc in each of next 22 sts."
        " (46 sts)"
    )


def test_from_28_in_the_crown_it_is_10_sc_4_decreases_10_sc_to_24() -> None:
    plan = row_plan()

    assert plan.stitches_after(plan.crown_row - 1) == 28
    assert said(plan, plan.crown_row) == (
        "1 sc in each of next 10 sts, 4 dec over the next 8 sts, 1 sc in each of next 10 sts."
        " (24 sts)"
    )


def test_a_hood_with_rows_enough_decreases_4_in_each_right_side_row_of_its_crown() -> None:
    # From 40, a nape of 12 rows to 30 stitches; then 5 right side rows of 4 decreases to 10.
    gauge = Gauge(12.5, 40 / 11 / 0.254, 12.5, 12.5, tested=True)
    dog = Measurements(101.6, 14 * INCH, nape_length=110, face_girth=2 * 176)
    aim = target(dog, reduction(by_fibre(yarn()), frozenset()))

    plan = choose(aim, gauge)

    assert (plan.hood_rows, plan.hood_stitches) == (22, 40)
    assert plan.pairs[: (plan.crown_row - 3) // 2] == (1,) * ((plan.crown_row - 3) // 2)
    assert plan.pairs[(plan.crown_row - 3) // 2 :] == (2,) * ((23 - plan.crown_row) // 2)


def test_a_collar_10_stitches_high_begins_with_11_chains() -> None:
    part = collar(row_plan(high=10))

    assert part.foundation_chain == 11
    assert part_opening(part, Terms.US).startswith("Chain 11.")
    assert row_text(PartName.COLLAR, part.rows[0], Terms.US) == (
        "1 sc in 2nd ch from hook, 1 sc in each ch to end. (10 sts)"
    )


def test_a_14_in_neck_in_acrylic_gives_an_11_in_strip_of_40_rows() -> None:
    plan = make_plan(request())

    assert plan.target.collar_girth == pytest.approx(11 * INCH)
    assert plan.finished.collar_girth == pytest.approx(11 * INCH)
    assert plan.rows.collar_rows == 40
    assert plan.gauge.rib_rows * 0.254 == pytest.approx(float(Fraction(40, 11)))
    assert show_length(plan.finished.collar_girth, LengthUnit.INCH) == "11 in"


def test_the_maker_need_not_leave_inches_for_it() -> None:
    neck = read_length("14 in", LengthUnit.CM).value
    plan = make_plan(request(spaniel()))

    assert spaniel().neck_girth == pytest.approx(neck)
    assert show_length(plan.finished.collar_girth, LengthUnit.CM) == "27.95 cm"


def test_a_cotton_blend_is_made_far_less_short_than_acrylic() -> None:
    acrylic = make_plan(request()).target.collar_girth
    blend = make_plan(request(wool=yarn(COTTON_BLEND))).target.collar_girth

    assert acrylic == pytest.approx(11 * INCH)
    assert 13 * INCH <= blend <= 14 * INCH


def test_a_nape_of_4_and_a_half_in_acrylic_aims_at_4_in() -> None:
    plan = make_plan(request())

    assert plan.target.nape == pytest.approx(4 * INCH)
    assert show_length(plan.target.nape, LengthUnit.INCH) == "4 in"
    # "Near 4 in": the crown can begin only with a right side row, so every second row.
    assert abs(plan.finished.nape - 4 * INCH) <= plan.gauge.row_mm + plan.gauge.stitch_mm / 4


def test_medium_acrylic_is_worked_with_5_mm_and_a_cotton_blend_with_4_and_a_half() -> None:
    assert default_hook_mm(yarn()) == 5.0
    assert default_hook_mm(yarn(COTTON_BLEND)) == 4.5
    assert make_plan(request()).hook_mm == 5.0


def test_a_default_gauge_is_untested_and_a_swatch_is_not() -> None:
    default = default_gauge(yarn())
    swatch = Swatch(13, 15, 13, 15, hook_mm=5.5)

    assert not default.tested
    # Craft Yarn Council, Standard Yarn Weight System: medium, 11 to 14 sc to 10 cm.
    assert 11 <= default.plain_stitches <= 14
    # Seven published pairs of plain sc run from 1.00 to 1.25 rows for a stitch.
    assert 1.00 <= default.plain_rows / default.plain_stitches <= 1.25
    plan = make_plan(request(swatch=swatch))
    assert plan.gauge.tested
    assert plan.hook_mm == 5.5


def test_the_whole_hood_of_the_worked_examples_can_be_worked_in_uk_terms() -> None:
    assert said(row_plan(), 3, Terms.UK) == (
        "1 dc in each of next 18 sts, 2 dec over the next 4 sts, 1 dc in each of next 18 sts."
        " (38 sts)"
    )
    words = " ".join(
        row_text(part.part, row, Terms.UK)
        for part in pattern_of(row_plan()).parts
        for row in part.rows
    )
    assert " sc " not in words


def test_a_dog_without_weight_or_breed_gets_the_same_hood() -> None:
    known, unknown = make_plan(request()), make_plan(request(dog=Dog()))

    assert known.pattern == unknown.pattern
    assert unknown.price.total > Decimal(0)
