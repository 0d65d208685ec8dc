"""Figures and borders that the broad tests cannot tell from their neighbours.

Each of these was once changed by a hair, and no other test noticed: see docs/mutation.md.
"""

from dataclasses import replace
from math import pi, sqrt

import pytest

from sizing.addons import AddOn, Shape, part_of
from sizing.addons.rounds import base_stitches, tube_counts
from sizing.addons.shapes import sized
from sizing.balls import dye_lot_advice
from sizing.calibrate import MAKER, hood_observation
from sizing.cautions import _gentle
from sizing.checkpoints import checkpoints_of
from sizing.checks import check
from sizing.consumption import _fabric_mm2
from sizing.dogs import Dog, Risk
from sizing.errors import PatternFaultError, StoppedError, ValueOutOfRangeError
from sizing.evidence import derived
from sizing.exactness import TWO_READINGS, Source, errors_of, far_apart
from sizing.fit import PLAIN_LESSONS, Dimensions, Lessons, Reduction, taught
from sizing.gauge import Gauge, Swatch
from sizing.machine import Held, replay, resume
from sizing.material import yarn_need
from sizing.pattern import _coloured, pattern_of
from sizing.pieces import Piece, pieces_made, pieces_of
from sizing.plan import make_plan
from sizing.replan import InHand, replan
from sizing.replan import Verdict as Way
from sizing.replan.again import _unchanged
from sizing.replan.course import _right_side, course_of
from sizing.replan.judge import Piece as Judged
from sizing.replan.judge import _anew
from sizing.rowplan import RowPlan
from sizing.rows import SEAMS, Op, Operation, PartName
from sizing.shape import finished
from sizing.shrink import learned
from sizing.stock import stock_of
from sizing.strand import LENGTH_PER_SQUARE, mm_per_mm2, thickness_mm
from sizing.stretch import StretchTest, by_fibre
from sizing.units import LengthUnit
from sizing.variants import Make, Stripe, Stripes, buttoned_collar, ear_openings
from sizing.variants.buttoned import BUTTON_EVERY
from sizing.variants.make import PLAIN
from sizing.wearing import Passage, Verdict, Worn, Zone, _buttoned, _worn
from tests.sizing.builders import request, row_plan, spaniel, yarn

GAUGE = Gauge(12.5, 14.3, 12.5, 14.1, tested=True)
SWATCH = Swatch(rib_stitches=12.5, rib_rows=14.3, plain_stitches=12.5, plain_rows=14.1)
PLAN = row_plan()
BUTTONED = buttoned_collar(PLAN.collar_stitches, GAUGE, 25.0)


def test_a_base_of_less_than_two_rings_of_stitches_is_refused() -> None:
    thick = Gauge(5, 5.7, 5, 5.65, tested=True)
    seven = 7 * thick.stitch_mm / pi

    with pytest.raises(ValueOutOfRangeError, match="the base would be 7 stitches round"):
        base_stitches(seven, thick)
    assert base_stitches(seven * 8 / 7, thick) == 8


def test_a_cone_is_as_high_as_pythagoras_has_it() -> None:
    cone = part_of(AddOn(Shape.CONE, 60, 90), GAUGE)
    slant, base = len(cone.rows) * GAUGE.row_mm, cone.rows[-1].stitches * GAUGE.stitch_mm / pi

    assert sized(cone, GAUGE).long_mm == pytest.approx(sqrt(slant**2 - (base / 2) ** 2))


def test_the_advice_for_one_ball_is_to_write_its_lot_down() -> None:
    assert dye_lot_advice(1, 0.97, "").startswith("One ball of one dye lot suffices with 97%")
    assert dye_lot_advice(2, 0.97, "41").startswith("Buy all 2 balls at once, of lot 41:")


def test_the_work_is_measured_at_four_moments_the_strip_by_its_name() -> None:
    done = finished(PLAN, GAUGE)
    plain, lapped = (
        checkpoints_of(PLAN, done, GAUGE, make) for make in (Make(), Make(buttoned=BUTTONED))
    )

    assert [one.row for one in plain] == [1, PLAN.collar_rows, PLAN.crown_row - 1, PLAN.hood_rows]
    assert (plain[0].name, plain[0].mm) == ("collar height", done.collar_height)
    assert [one.mm for one in plain[1:]] == [done.collar_girth, done.nape, done.face_opening / 2]
    assert plain[1].name == "collar strip before joining"
    assert lapped[1].name == "collar strip before the overlap"


def test_before_any_fitting_every_factor_is_one() -> None:
    lessons, less = PLAIN_LESSONS, Reduction(0.1, 0.2, 0.05)

    assert (lessons.collar, lessons.nape, lessons.opening) == (1, 1, 1)
    assert taught(less, Lessons(collar=0.9)).nape == pytest.approx(0.2)


def test_nothing_is_resumed_from_no_stitch_or_no_row() -> None:
    for held in (Held(PartName.HOOD, 10, 0), Held(PartName.HOOD, 0, 32)):
        with pytest.raises(PatternFaultError, match="nothing to go on from"):
            resume(held, pattern_of(PLAN))


def test_a_seam_has_no_rows_to_turn_and_every_other_part_has() -> None:
    plan = make_plan(request(swatch=SWATCH))
    rows = {piece.name: piece.rows for piece in pieces_of(plan.pattern)}
    sewn = {part.part.value for part in plan.pattern.parts if part.part in SEAMS}

    assert [name for name, count in rows.items() if not count]
    assert {name for name, count in rows.items() if count} == {"collar", "hood"}
    assert sewn


@pytest.mark.parametrize("rows", [40, 36, 32])
def test_above_another_collar_stitches_are_picked_up_in_the_planned_share(rows: int) -> None:
    plan = replace(row_plan(), pickup=32)
    held = Judged(plan, course_of(plan), finished(plan, GAUGE), GAUGE, PartName.COLLAR, Make())
    share = plan.hood_stitches / plan.collar_rows

    assert abs(_anew(held, rows, 10).counts[0] - rows * share) <= 1


def test_a_stock_follows_the_stretch_of_its_swatch() -> None:
    springy = replace(SWATCH, stretch=StretchTest(100, 115, 160, 101))

    assert stock_of(yarn(), springy).limit > stock_of(yarn(), SWATCH).limit


def test_the_yarn_in_an_area_is_its_share_by_the_thickness() -> None:
    for wool in (yarn(), yarn(metres=120), yarn(grams=50)):
        assert mm_per_mm2(wool) * thickness_mm(wool) == pytest.approx(LENGTH_PER_SQUARE.value)


def test_ears_under_a_late_crown_open_in_the_last_wrong_side_row_with_two_rows_above() -> None:
    late = RowPlan(10, 80, hood_rows=24, crown_row=23, pairs=(1,) * 10 + (2,))

    assert ear_openings(late, GAUGE, 40, 60).row == 20


def test_buttons_are_counted_where_a_collar_is_buttoned() -> None:
    assert BUTTONED is not None
    assert Make(buttoned=BUTTONED).buttons == BUTTONED.buttons >= 1
    assert Make().buttons == 0


def test_an_edging_without_a_colour_takes_the_hoods_first() -> None:
    stripes = Stripes((Stripe("cream", 2),), (Stripe("rust", 2), Stripe("cream", 2)))

    assert stripes.edging_colour == "rust"
    assert replace(stripes, edging="moss").edging_colour == "moss"


def test_the_ends_of_a_comfort_band_are_comfortable() -> None:
    for body in (100.0, 112.5, 125.0):
        assert _worn(Zone.COLLAR, body, 100, (0.0, 0.25), derived("a test")).verdict is (
            Verdict.COMFORTABLE
        )
    assert _worn(Zone.COLLAR, 125.5, 100, (0.0, 0.25), derived("a test")).verdict is Verdict.TIGHT
    assert _worn(Zone.COLLAR, 99.5, 100, (0.0, 0.25), derived("a test")).verdict is Verdict.LOOSE


def test_an_add_on_of_which_one_round_has_no_colour_is_refused() -> None:
    disc = part_of(AddOn(Shape.DISC, 80, colour="rust"), GAUGE)
    spoiled = replace(disc, rows=(*disc.rows[:-1], replace(disc.rows[-1], colour="")))

    replay(pattern_of(PLAN, Make(add_ons=(disc,))))
    with pytest.raises(PatternFaultError, match="its colour is missing"):
        replay(pattern_of(PLAN, Make(add_ons=(spoiled,))))


def test_two_readings_are_far_apart_beyond_twice_the_error_of_their_middle() -> None:
    most = TWO_READINGS.value * 0.05 * 100

    assert not far_apart(100 - most / 2.01, 100 + most / 2.01, 0.05)
    assert far_apart(100 - most / 1.99, 100 + most / 1.99, 0.05)


def test_before_any_hood_a_maker_is_believed_to_be_like_any_other() -> None:
    assert (MAKER.mean, MAKER.factor) == (0, 1)
    assert learned(MAKER, [hood_observation(90, 90)]).factor == pytest.approx(1)


def test_a_plain_hood_is_turned_without_a_chain() -> None:
    assert (PLAIN.turning_chain, PLAIN.buttons) == (0, 0)
    assert all(part.turning_chain == 0 for part in pattern_of(PLAN).parts)


def test_what_was_accepted_is_not_said_again_to_him_who_must_mend_the_rest() -> None:
    both = replace(spaniel(), neck_girth=140, face_girth=150)

    with pytest.raises(StoppedError) as caught:
        make_plan(replace(request(both), accepted=frozenset({"neck_girth"})))

    findings = {one.field: one.message for one in check(Dog(weight_kg=14), both, LengthUnit.CM)}
    assert findings["face_girth"] in str(caught.value)
    assert findings["neck_girth"] not in str(caught.value)


@pytest.mark.parametrize(("strain", "said"), [(0.0, False), (0.02, True)])
def test_a_collar_that_does_not_stretch_is_not_called_stretched(
    strain: float, *, said: bool
) -> None:
    collar = Worn(Zone.COLLAR, 300, 300, strain, -0.1, 0.1, Verdict.COMFORTABLE, "a test")
    (caution,) = _gentle(frozenset({Risk.SHORT_NOSED}), collar)

    assert ("stretched when worn" in caution.message) is said


@pytest.mark.parametrize(
    "shaped",
    [
        ((Op.SC, 10), (Op.DEC, 1), (Op.SC, 16), (Op.DEC, 1), (Op.SC, 10)),  # alike, but apart
        ((Op.SC, 17), (Op.DEC, 2), (Op.SC, 19)),  # together, but beside the centre
    ],
)
def test_decreases_apart_or_beside_the_centre_back_are_each_refused(
    shaped: tuple[tuple[Op, int], ...],
) -> None:
    whole = pattern_of(PLAN)
    hood = whole.part(PartName.HOOD)
    row = replace(hood.rows[2], operations=tuple(Operation(op, n) for op, n in shaped))
    spoiled = replace(hood, rows=(*hood.rows[:2], row, *hood.rows[3:]))
    parts = tuple(spoiled if part is hood else part for part in whole.parts)

    assert row.stitches == 38
    with pytest.raises(PatternFaultError, match="decreases are not at the centre back"):
        replay(replace(whole, parts=parts))


def test_a_short_tube_of_thick_yarn_is_still_longer_than_the_cylinder_is_deep() -> None:
    thick = Gauge(4, 4, 4, 4, tested=True)

    assert tube_counts(90, 60, thick) == [6, 11, 11, 11, 11]
    assert tube_counts(90, 88, thick) == [6, 11, 11, 11, 11, 11]


def test_a_disc_has_no_length_of_its_own() -> None:
    assert AddOn(Shape.DISC, 80).long_mm == 0


def test_decreases_that_do_not_show_stand_in_right_side_rows_only() -> None:
    assert _right_side(1, 8) == [3, 5, 7]
    assert _right_side(4, 5) == [5]


def test_an_increase_covers_two_cells_of_fabric_and_a_seam_none() -> None:
    cell = GAUGE.stitch_mm * GAUGE.row_mm
    counts = ((Op.SC, 3), (Op.INC, 2), (Op.WHIP, 9), (Op.SL_ST, 9))

    assert _fabric_mm2([Piece("disc", counts)], GAUGE) == pytest.approx(7 * cell)


def test_a_hood_is_ripped_back_to_a_row_that_is_named() -> None:
    strip = InHand(PartName.COLLAR, 44, 10, 10 * GAUGE.rib_stitch_mm, 44 * GAUGE.rib_row_mm)
    found = replan(PLAN, GAUGE, finished(PLAN, GAUGE), strip)

    assert (found.verdict, found.row) == (Way.RIP_BACK, 40)
    assert found.why.endswith("rip back to row 40.")


def test_every_row_of_a_part_needs_its_own_colour_name() -> None:
    with pytest.raises(ValueError, match="zip"):
        _coloured(pattern_of(PLAN).part(PartName.HOOD), ("cream",))


def test_the_pieces_of_a_plain_hood_are_told_alike_by_its_machine_and_its_pattern() -> None:
    made, written = pieces_made(replay(pattern_of(PLAN))), pieces_of(pattern_of(PLAN))

    assert {one.name: one.rib for one in made} == {one.name: one.rib for one in written}
    assert {one.name: one.ends for one in made} == {one.name: one.ends for one in written}


def test_a_low_collar_has_one_button() -> None:
    low, high = (_buttoned(mm, GAUGE, chewer=False) for mm in (32, 2 * BUTTON_EVERY.value))
    assert low
    assert high
    assert (low.buttonholes, high.buttonholes) == (1, 2)


def test_a_head_that_nobody_measured_is_less_sure() -> None:
    stretch = by_fibre(yarn())
    told, left, taken = (
        errors_of(Dog(), frozenset(), stretch, tested=True, **said)
        for said in ({}, {"head_measured": False}, {"head_measured": True})
    )

    assert told == left
    assert told[Source.HEAD] > taken[Source.HEAD]


def test_a_part_keeps_its_yarn_beside_an_operation_that_was_never_made() -> None:
    order = request(swatch=SWATCH)
    plan = make_plan(order)
    first, *rest = pieces_of(plan.pattern)
    odd = (replace(first, counts=(*first.counts, (Op.INC, 0))), *rest)
    usual, again = (
        yarn_need(plan.made, order.yarn, plan.gauge, order.swatch, pieces=pieces)
        for pieces in ((first, *rest), odd)
    )

    assert first.name in {part.part for part in usual.parts}
    assert again.parts == usual.parts


def test_a_collar_is_pulled_on_where_nobody_says_that_it_opens() -> None:
    tight = Passage(400, measured=True, needed=0.6, limit=0.5, looser=None, buttoned=None)

    assert not tight.passes
    assert replace(tight, opens=True).passes


def test_what_the_old_plan_would_give_is_worked_out_from_the_piece_in_hand() -> None:
    def left(part: PartName, in_hand: InHand) -> Dimensions:
        old = Judged(PLAN, course_of(PLAN), finished(PLAN, GAUGE), GAUGE, part, Make())
        return _unchanged(old, in_hand)

    strip = left(PartName.COLLAR, InHand(PartName.COLLAR, 44, 11, 88, 308))
    hood = left(PartName.HOOD, InHand(PartName.HOOD, 26, 8, 64, 184))

    assert strip.collar_girth == pytest.approx(44 * GAUGE.rib_row_mm)
    assert strip.collar_height == pytest.approx(11 * GAUGE.rib_stitch_mm)
    assert strip.face_opening == pytest.approx(2 * 24 * GAUGE.row_mm)
    assert hood.collar_girth == pytest.approx(40 * GAUGE.rib_row_mm)
    assert hood.face_opening == pytest.approx(2 * 26 * GAUGE.row_mm)
