"""What a course keeps, how far a row is ripped back, and how the variants follow."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.errors import ValueOutOfRangeError
from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.replan import Verdict, course_of, replan
from sizing.replan.course import Course, go_on
from sizing.replan.judge import Piece, as_good, best_from, from_row, misses
from sizing.replan.rest import make_again
from sizing.rowplan import RowPlan
from sizing.rows import Op, PartName
from sizing.variants import EdgingStitch, Make, edging_of
from sizing.wishes import Wishes, make_of
from tests.sizing.strategies import coherent_gauges, reals
from tests.sizing.test_replan import AIM, GAUGE, PLAN, piece

OLD = course_of(PLAN)


def held(part: PartName, aim: Dimensions = AIM, make: Make | None = None) -> Piece:
    return Piece(PLAN, OLD, aim, GAUGE, part, make or Make())


@given(st.integers(1, 24), reals(0.5, 1.6), reals(0.4, 1.8))
def test_a_course_goes_on_from_what_is_made_and_only_narrows(
    done: int, edge: float, nape: float
) -> None:
    aim = replace(AIM, face_opening=edge * AIM.face_opening, nape=nape * AIM.nape)
    found = go_on(OLD, done, aim, GAUGE)

    assert found.counts[: done + 1] == OLD.counts[: done + 1]
    assert list(found.counts) == sorted(found.counts, reverse=True)
    assert all(count % 2 == 0 and count >= 6 for count in found.counts)
    assert (found.collar_rows, found.collar_stitches) == (OLD.collar_rows, OLD.collar_stitches)
    # One past the last row where there is no crown; what is begun of a crown stays crown.
    assert 3 <= found.crown_row <= max(found.hood_rows + 1, OLD.crown_row)
    if done >= OLD.crown_row:
        assert found.crown_row == OLD.crown_row
    else:
        assert done < found.crown_row <= found.hood_rows + 1


@pytest.mark.parametrize("nape", [55, 70, 85, 125, 140])
@pytest.mark.parametrize("edge", [16, 20, 28])
def test_no_row_is_ripped_back_in_vain(nape: float, edge: int) -> None:
    aim = replace(AIM, nape=nape, face_opening=2 * edge * GAUGE.row_mm)
    part = held(PartName.HOOD, aim)
    for done in range(8, 28):
        found = replan(PLAN, GAUGE, aim, piece(PartName.HOOD, done))
        if found.verdict is not Verdict.RIP_BACK:
            continue
        assert found.row < done
        for row in range(found.row + 1, min(done, PLAN.hood_rows + 1)):
            assert misses(part, from_row(part, row), row)
        assert not found.row or not misses(part, found.course, found.row)


def test_a_strip_is_carried_on_up_to_the_tolerance_of_the_tape_and_no_further() -> None:
    # 42 rows of 6.993 mm are 293.7 mm; 4 percent of 283 mm are 11.3 mm, of 281 mm 11.2 mm.
    near, far = (
        replan(PLAN, GAUGE, replace(AIM, collar_girth=girth), piece(PartName.COLLAR, 42))
        for girth in (283.0, 281.0)
    )

    assert (near.verdict, near.course.collar_rows) == (Verdict.CARRY_ON, 42)
    assert (far.verdict, far.row) == (Verdict.RIP_BACK, 40)


@given(reals(0.6, 1.5), reals(0.6, 1.5), reals(0.6, 1.5))
def test_every_course_is_as_good_as_itself(girth: float, nape: float, edge: float) -> None:
    aim = Dimensions(
        girth * AIM.collar_girth, AIM.collar_height, nape * AIM.nape, edge * AIM.face_opening
    )

    assert as_good(held(PartName.HOOD, aim), OLD, OLD)
    wide = replace(OLD, counts=(*OLD.counts, *OLD.counts[-1:] * 30))
    assert not as_good(held(PartName.HOOD), wide, OLD)


def test_the_printed_ticket_holds_where_a_new_course_would_be_hardly_better() -> None:
    kept = 0
    for nape in range(-30, 31):
        for edge in (-0.9, -0.4, 0.0, 0.4, 0.9):
            aim = replace(
                AIM,
                crown=None,
                nape=AIM.nape + nape / 10 * GAUGE.row_mm,
                face_opening=AIM.face_opening + 2 * edge * GAUGE.row_mm,
            )
            part = held(PartName.HOOD, aim)
            best = from_row(part, 10)
            found = best_from(part, 10, OLD.counts[10])
            if as_good(part, OLD, best):
                assert found == OLD
                kept += best != OLD
            else:
                assert found == best
    assert kept


def with_count(course: Course, row: int, less: int) -> Course:
    counts = list(course.counts)
    for place in range(row - 2, len(counts)):
        counts[place] = max(6, counts[place] - less)
    return replace(course, counts=tuple(counts))


@pytest.mark.parametrize("less", [-4, -2, 0, 2])
def test_ear_openings_stay_as_far_from_the_centre_back(less: int) -> None:
    plan = RowPlan(10, 60, 24, 15, (1,) * 6 + (2,) * 5)
    before = course_of(plan)
    make = make_of(Wishes(ear_base_mm=32, ear_from_centre_mm=48), plan, GAUGE)
    old = make.ears
    assert old
    after = with_count(before, old.row, less)
    assert after.counts[old.row] == before.counts[old.row] - less

    new = make_again(make, before, after, GAUGE).ears

    assert new
    assert (new.row, new.stitches) == (old.row, old.stitches)
    inner = [
        course.counts[old.row] // 2 - ears.beside - ears.stitches
        for course, ears in ((before, old), (after, new))
    ]
    assert inner[0] == inner[1]


def test_ear_openings_that_no_longer_fit_are_refused() -> None:
    make = make_of(Wishes(ear_base_mm=32, ear_from_centre_mm=40), PLAN, GAUGE)
    assert make.ears
    for after in (
        replace(OLD, counts=OLD.counts[: make.ears.row]),
        with_count(OLD, make.ears.row, 14),
    ):
        with pytest.raises(ValueOutOfRangeError, match="no longer fit") as caught:
            make_again(make, OLD, after, GAUGE)
        assert caught.value.field == "ear_base"


@given(st.integers(6, 40))
def test_buttonholes_fill_a_collar_of_another_height(stitches: int) -> None:
    make = make_of(Wishes(buttoned=True), PLAN, GAUGE)
    assert make.buttoned
    new = make_again(make, OLD, replace(OLD, collar_stitches=stitches), GAUGE).buttoned

    assert new
    assert sum(new.solid) + new.buttons * new.hole == stitches
    assert min(new.solid) >= 1
    assert (new.hole, new.overlap, new.hole_row) == (
        make.buttoned.hole, make.buttoned.overlap, make.buttoned.hole_row,
    )  # fmt: skip
    if stitches == OLD.collar_stitches:
        assert new == make.buttoned


@given(st.sampled_from(EdgingStitch), coherent_gauges(), st.integers(-3, 6))
def test_an_edging_keeps_its_stitch_and_follows_the_rows(
    stitch: EdgingStitch, gauge: Gauge, more: int
) -> None:
    make = Make(edging=edging_of(PLAN, gauge, stitch))
    rows = max(1, PLAN.hood_rows + more)
    after = replace(OLD, counts=(*OLD.counts, *OLD.counts[-1:] * 6)[: rows + 1])
    plan = replace(PLAN, hood_rows=rows)

    again = make_again(make, OLD, after, gauge).edging

    assert again == edging_of(plan, gauge, stitch)
    worked = {operation.op for operation in again} - {Op.SKIP, Op.INC}
    assert worked <= {Op.SL_ST if stitch is EdgingStitch.SL_ST else Op.SC}
