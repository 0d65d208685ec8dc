"""Variants of the hood: every one worked by the machine, every fault in one refused."""

from collections import Counter
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from sizing.addons import AddOn, Shape
from sizing.dogs import Measurements
from sizing.errors import PatternFaultError, ValueOutOfRangeError
from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.machine import replay, tally
from sizing.pattern import pattern_of
from sizing.rowplan import RowPlan
from sizing.rows import SEAMS, Op, Operation, Part, PartName, Pattern, Row, Side
from sizing.stretch import by_fibre
from sizing.style import Style, Turning
from sizing.variants import (
    EdgingStitch,
    Make,
    Stripe,
    Stripes,
    buttoned_collar,
    edging_of,
    pick_up,
)
from sizing.variants.pickup import least_picked_up, most_picked_up
from sizing.wearing import passage_of
from sizing.wishes import Wishes, make_of
from tests.sizing.builders import row_plan, yarn
from tests.sizing.mutators import MUTATORS, Mutator, with_part, with_row
from tests.sizing.strategies import coherent_gauges, reals
from tests.sizing.variant_mutators import VARIANT_MUTATORS
from tests.sizing.variants import SHAPES, made_hoods, small_patterns

GAUGE = Gauge(12.5, 14.3, 12.5, 14.1, tested=True)
STRIPES = Stripes(
    (Stripe("cream", 4), Stripe("rust", 2)), (Stripe("cream", 2), Stripe("rust", 2)), "rust"
)
EVERYTHING = Wishes(
    style=Style(Turning.ONE), buttoned=True, ear_base_mm=35, ear_from_centre_mm=40,
    stripes=STRIPES, edging=EdgingStitch.SC,
)  # fmt: skip


def hood_of(wishes: Wishes, plan: RowPlan | None = None, gauge: Gauge = GAUGE) -> Pattern:
    plan = plan or row_plan()
    return pattern_of(plan, make_of(wishes, plan, gauge))


@given(made_hoods())
@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
def test_the_machine_accepts_every_variant_of_every_dog_and_gauge(
    case: tuple[RowPlan, Gauge, Make],
) -> None:
    plan, _, make = case
    pattern = pattern_of(plan, make)

    made = replay(pattern)

    counts: Counter[Op] = Counter()
    for work in tally(pattern):
        counts.update(dict(work.made))
    assert dict(made.made) == dict(counts)
    assert made.chains == sum(work.chains for work in tally(pattern))
    assert Op.SKIP not in counts


@pytest.mark.parametrize(
    "mutator", [*MUTATORS, *VARIANT_MUTATORS], ids=lambda mutator: mutator.__name__
)
@given(sound=small_patterns(), where=st.integers(0, 10_000))
@settings(
    max_examples=25,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
def test_every_spoiled_variant_is_refused(mutator: Mutator, sound: Pattern, where: int) -> None:
    spoiled = mutator(sound, where)
    assume(spoiled is not None)
    assert spoiled is not None
    assert spoiled != sound

    with pytest.raises(PatternFaultError):
        replay(spoiled)


@pytest.mark.parametrize("mutator", VARIANT_MUTATORS, ids=lambda mutator: mutator.__name__)
def test_each_fault_of_a_variant_is_found_in_a_hood_with_everything(mutator: Mutator) -> None:
    spoiled = 0
    for stitch in EdgingStitch:
        for plan in (row_plan(), replace(row_plan(), collar_stitches=14)):
            sound = hood_of(replace(EVERYTHING, edging=stitch, add_ons=SHAPES), plan)
            for where in range(60):
                wrong = mutator(sound, where)
                if wrong is not None:
                    spoiled += 1
                    with pytest.raises(PatternFaultError):
                        replay(wrong)
    assert spoiled


def test_a_buttoned_collar_has_no_seam_and_its_overlap_stays_free() -> None:
    pattern = hood_of(Wishes(buttoned=True))
    strip, cap = pattern.part(PartName.COLLAR), pattern.part(PartName.HOOD)

    assert [part.part for part in pattern.parts] == [
        PartName.COLLAR, PartName.HOOD, PartName.CROWN_SEAM,
    ]  # fmt: skip
    assert len(strip.rows) == 40 + strip.overlap
    assert cap.rows[0].operations == (Operation(Op.SC, 40), Operation(Op.SKIP, strip.overlap))
    assert cap.rows[0].stitches == 40


@given(reals(10.0, 60.0), st.integers(2, 60), coherent_gauges())
def test_buttonholes_lie_in_the_middle_of_the_overlap_and_never_at_an_edge(
    button: float, stitches: int, gauge: Gauge
) -> None:
    if stitches < max(1, round(button * 0.8 / gauge.rib_stitch_mm)) + 2:
        with pytest.raises(ValueOutOfRangeError, match="too low"):
            buttoned_collar(stitches, gauge, button)
        return
    found = buttoned_collar(stitches, gauge, button)
    assert sum(found.solid) + found.buttons * found.hole == stitches
    assert min(found.solid) >= 1
    assert max(found.solid) - min(found.solid) <= 1
    assert found.overlap % 2 == 0
    assert 2 <= found.hole_row < found.hole_row + 1 < found.overlap
    assert found.overlap * gauge.rib_row_mm >= 2 * button - 1e-6


def test_the_overlap_is_the_one_that_was_offered_where_a_collar_does_not_pass_the_head() -> None:
    dog = Measurements(100, 250, 100, 420)
    made = Dimensions(200, 112, 100, 420)
    offered = passage_of(dog, made, by_fibre(yarn()), GAUGE).buttoned

    assert offered is not None
    found = buttoned_collar(round(112 / GAUGE.rib_stitch_mm), GAUGE)
    assert (found.overlap, found.buttons) == (offered.overlap_rows, offered.buttonholes)


def test_a_chewer_gets_no_buttons_and_nothing_sewn_on() -> None:
    with pytest.raises(ValueOutOfRangeError, match="swallowed"):
        hood_of(Wishes(buttoned=True, chewer=True))
    with pytest.raises(ValueOutOfRangeError, match="swallowed"):
        hood_of(Wishes(add_ons=SHAPES, chewer=True))


def test_a_drawstring_is_refused_with_the_reason() -> None:
    with pytest.raises(ValueOutOfRangeError, match="a cord at a dog's neck") as caught:
        hood_of(Wishes(drawstring=True))

    assert caught.value.field == "drawstring"


def test_twelve_shapes_are_sewn_on_at_most_all_together() -> None:
    few = tuple(AddOn(Shape.DISC, 60, copies=copies) for copies in (5, 7))
    assert (
        sum(
            part.copies
            for part in hood_of(Wishes(add_ons=few)).parts
            if part.part is PartName.DISC
        )
        == 12
    )
    with pytest.raises(ValueOutOfRangeError, match="12 shapes at most") as caught:
        hood_of(Wishes(add_ons=(*few, AddOn(Shape.DISC, 60))))
    assert caught.value.field == "add_ons"


@given(st.integers(1, 80).map(lambda n: 2 * n), st.data())
def test_picked_up_stitches_are_spread_evenly_and_alike_on_both_halves(
    ends: int, data: st.DataObject
) -> None:
    half = data.draw(st.integers(least_picked_up(ends) // 2, most_picked_up(ends) // 2))
    row = [o.op for o in pick_up(ends, 2 * half) for _ in range(o.count)]

    assert len(row) == ends
    assert row == row[::-1]
    assert sum({Op.INC: 2, Op.SKIP: 0}.get(op, 1) for op in row) == 2 * half
    odd = [place for place, op in enumerate(row[: ends // 2]) if op is not Op.SC]
    gaps = [b - a for a, b in pairwise(odd)]
    assert not gaps or max(gaps) - min(gaps) <= 1
    pattern = Pattern((
        *pattern_of(RowPlan(3, ends, 2, 3, ())).parts[:2],
        Part(PartName.HOOD, (Row(1, Side.RIGHT, pick_up(ends, 2 * half), 2 * half),)),
        Part(PartName.CROWN_SEAM, (Row(1, Side.WRONG, (Operation(Op.WHIP, half),), 0),)),
    ))  # fmt: skip
    replay(pattern)


@pytest.mark.parametrize(("ends", "stitches"), [(40, 20), (40, 82), (40, 41), (41, 40), (40, 0)])
def test_what_leaves_a_hole_or_crowds_a_row_end_is_refused(ends: int, stitches: int) -> None:
    with pytest.raises(ValueOutOfRangeError, match="row ends"):
        pick_up(ends, stitches)


def test_an_edging_lies_flat_along_the_front_edges() -> None:
    plan = row_plan()
    sc = edging_of(plan, GAUGE, EdgingStitch.SC)
    wide = edging_of(plan, Gauge(12, 10, 12, 10, tested=True), EdgingStitch.SC)
    slipped = edging_of(plan, Gauge(12, 10, 12, 10, tested=True), EdgingStitch.SL_ST)

    assert sum(o.count for o in sc if o.op is Op.SC) == 2 * round(24 * 12.5 / 14.1)
    assert sum(o.count for o in wide if o.op is Op.INC) == 2 * (round(24 * 1.2) - 24)
    assert slipped == (Operation(Op.SL_ST, 48),)


def test_stripes_count_two_ends_for_each_block_and_every_row_has_its_colour() -> None:
    pattern = hood_of(Wishes(stripes=STRIPES, edging=EdgingStitch.SL_ST))
    work = tally(pattern)

    # 40 collar rows in blocks of 4 and 2: 7 of cream, 6 of rust; 24 hood rows in twos: 6 and 6.
    ends = {(t.part, t.colour): t.ends for t in work}
    assert ends[PartName.COLLAR, "cream"] == 14
    assert ends[PartName.COLLAR, "rust"] == 12
    assert ends[PartName.HOOD, "cream"] == ends[PartName.HOOD, "rust"] == 12
    assert ends[PartName.EDGING, "rust"] == 2
    assert all(t.ends == 0 for t in work if t.part in SEAMS)
    assert all(row.colour for part in pattern.parts for row in part.rows)
    plain = tally(hood_of(Wishes()))
    assert sum(t.ends for t in plain) == 4
    assert sum(t.rows for t in work) == sum(t.rows for t in plain) + 1


@pytest.mark.parametrize(
    "name", ["", " ", "2 sc", "rust (dark)", "a: b", "x" * 31, "暗い", " rust"]
)
def test_a_colour_that_could_be_read_as_stitches_is_refused(name: str) -> None:
    with pytest.raises(ValueOutOfRangeError, match="Name a colour"):
        Stripe(name, 2)


def test_stripes_of_nothing_are_refused() -> None:
    with pytest.raises(ValueOutOfRangeError):
        Stripe("rust", 0)
    with pytest.raises(ValueOutOfRangeError):
        Stripes((), (Stripe("rust", 2),))


def test_turning_chains_are_chains_and_no_stitches() -> None:
    plain, turned = hood_of(Wishes()), hood_of(Wishes(style=Style(Turning.ONE)))

    assert replay(turned).made == replay(plain).made
    assert replay(turned).chains == replay(plain).chains + 39 + 23


def test_a_wrong_side_decrease_is_two_worked_together_and_only_there() -> None:
    sound = pattern_of(row_plan())
    hood = sound.part(PartName.HOOD)
    rows = list(hood.rows)
    beside = Operation(Op.SC, 16)
    rows[3] = replace(rows[3], operations=(beside, Operation(Op.SC2TOG, 3), beside), stitches=35)
    with pytest.raises(PatternFaultError, match="row 5"):  # worked; the next row does not follow
        replay(with_part(sound, replace(hood, rows=tuple(rows))))
    right = replace(hood.rows[2], operations=(
        Operation(Op.SC, 18), Operation(Op.SC2TOG, 2), Operation(Op.SC, 18),
    ))  # fmt: skip
    with pytest.raises(PatternFaultError, match="sc2tog has no place"):
        replay(with_row(sound, hood, 2, right))


def test_an_opening_left_on_the_last_row_is_refused() -> None:
    sound = hood_of(Wishes(ear_base_mm=32, ear_from_centre_mm=40))
    hood = sound.part(PartName.HOOD)
    short = with_part(sound, replace(hood, rows=hood.rows[:14]))
    seam = sound.part(PartName.CROWN_SEAM)
    closed = replace(seam.rows[0], operations=(Operation(Op.WHIP, 14),))

    with pytest.raises(PatternFaultError, match="not closed"):
        replay(with_part(short, replace(seam, rows=(closed,))))


def test_a_plain_hood_is_the_same_with_and_without_the_word() -> None:
    assert hood_of(Wishes()) == pattern_of(row_plan())
