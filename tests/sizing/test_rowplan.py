"""The integers of a hood, over the whole range of dogs and gauges."""

from itertools import accumulate
from math import hypot

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from sizing.dogs import Dog, Measurements
from sizing.fit import Dimensions, reduction, target
from sizing.gauge import Gauge
from sizing.machine import replay
from sizing.pattern import pattern_of
from sizing.rowplan import RowPlan, nape_length, nearest_even, shaped_rows, spread
from sizing.rows import Op, PartName
from sizing.search import choose
from sizing.stretch import by_fibre
from sizing.yarns import Yarn
from tests.sizing.strategies import dogs, gauges, odd_measurements, reals, yarns


def hood_of(dog: Dog, measurements: Measurements, yarn: Yarn, gauge: Gauge) -> RowPlan:
    return choose(target(measurements, reduction(by_fibre(yarn), dog.risks)), gauge)


def split(plan: RowPlan) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The pairs of the nape and of the crown."""
    nape = len(range(3, plan.crown_row, 2))
    return plan.pairs[:nape], plan.pairs[nape:]


@st.composite
def aims(draw: st.DrawFn) -> Dimensions:
    """Targets of dogs, and targets of nothing on earth."""
    if draw(st.booleans()):
        dog, measurements = draw(dogs(0.5, 150.0))
    else:
        dog, measurements = Dog(), draw(odd_measurements())
    return target(measurements, reduction(by_fibre(draw(yarns())), dog.risks))


def beside_the_fold(aim: Dimensions, gauge: Gauge, stitches: int) -> list[float]:
    """The nape lengths that a hood could have, counted here by hand, crown by crown.

    A nape is whole pairs of rows from the collar up, the first pair plain, each later one with
    2 decreases as long as that leaves the crown as many a row; the last may be all rows.
    """
    rows = max(4, round(aim.face_opening / 2 / gauge.row_mm))
    bare = max(6, 2 * round(stitches * 0.2 / 2))
    room = max(0, (stitches - bare) // 2)
    lengths = []
    for nape in [*range(2, rows, 2), rows]:
        crown = sum(1 for row in range(nape + 1, rows + 1) if row % 2 and row >= 3)
        shaped = sum(1 for row in range(3, nape + 1) if row % 2)
        decreasing = shaped if room >= shaped + crown else room * shaped // (shaped + crown)
        pairs, single = divmod(nape, 2)
        steps = [2.0 * gauge.row_mm] * pairs + [gauge.row_mm] * single
        drawn_in = [0] * (len(steps) - decreasing) + [1] * decreasing
        if single and decreasing < shaped:  # where the plain row stands matters to the length
            drawn_in = [0, *([0] * (shaped - decreasing)), *([1] * decreasing)]
        lengths.append(
            sum(hypot(s, d * gauge.stitch_mm) for s, d in zip(steps, drawn_in, strict=True))
        )
    return lengths


@given(aims(), gauges())
@settings(max_examples=120)
def test_the_machine_accepts_the_pattern_of_every_dog_and_gauge(
    aim: Dimensions, gauge: Gauge
) -> None:
    plan = choose(aim, gauge)

    made = dict(replay(pattern_of(plan)).made)

    assert made.get(Op.DEC, 0) == plan.hood_stitches - plan.last_stitches


@given(aims(), gauges())
@settings(max_examples=150)
def test_collar_rows_are_even_and_every_count_follows_from_the_one_before(
    aim: Dimensions, gauge: Gauge
) -> None:
    plan = choose(aim, gauge)

    assert plan.collar_rows % 2 == 0
    assert plan.hood_stitches == plan.collar_rows
    counts = list(accumulate([plan.hood_stitches, *(-2 * pairs for pairs in plan.pairs)]))
    assert [plan.stitches_after(2 * i + 3) for i in range(len(plan.pairs))] == counts[1:]
    assert plan.stitches_after(0) == plan.stitches_after(2) == plan.hood_stitches
    assert counts[-1] == plan.last_stitches
    assert plan.last_stitches >= 6
    assert plan.last_stitches % 2 == 0


@given(aims(), gauges())
@settings(max_examples=150)
def test_decreases_stand_only_in_right_side_rows_from_the_third_on(
    aim: Dimensions, gauge: Gauge
) -> None:
    plan = choose(aim, gauge)

    for row in range(1, plan.hood_rows + 1):
        if row < 3 or row % 2 == 0:
            assert plan.pairs_in(row) == 0
    assert sum(plan.pairs_in(row) for row in range(1, plan.hood_rows + 1)) == sum(plan.pairs)


@given(aims(), gauges())
@settings(max_examples=150)
def test_a_nape_row_has_at_most_2_decreases_and_a_crown_row_at_most_4(
    aim: Dimensions, gauge: Gauge
) -> None:
    nape, crown = split(choose(aim, gauge))

    assert all(pairs in {0, 1} for pairs in nape)
    assert all(pairs in {0, 1, 2} for pairs in crown)


@given(aims(), gauges())
@settings(max_examples=150)
def test_decreases_are_spread_as_evenly_as_whole_pairs_allow(
    aim: Dimensions, gauge: Gauge
) -> None:
    for part in split(choose(aim, gauge)):
        assert max(part, default=0) - min(part, default=0) <= 1
        if part:  # and no stretch of rows gets more or less than its share, to one pair
            for i, so_far in enumerate(accumulate(part), start=1):
                assert abs(so_far - sum(part) * i / len(part)) < 1


@given(aims(), gauges())
@settings(max_examples=120)
def test_every_decreasing_row_keeps_a_plain_stitch_at_each_front_edge(
    aim: Dimensions, gauge: Gauge
) -> None:
    for row in pattern_of(choose(aim, gauge)).part(PartName.HOOD).rows:
        first, last = row.operations[0], row.operations[-1]
        assert first.op is last.op is Op.SC
        assert first.count == last.count >= 1


@given(aims(), gauges())
@settings(max_examples=150)
def test_collar_and_front_edge_miss_by_half_a_step_at_most(aim: Dimensions, gauge: Gauge) -> None:
    """Room: at least 6 collar rows, 2 collar stitches and 4 hood rows fit into the target,
    and the nape ends two rows below the brow; a longer one may take the front edge with it.

    The collar's girth goes by pairs of rows, its height by stitches, the front edge by rows.
    """
    plan = choose(aim, gauge)
    edge = aim.face_opening / 2
    fuzz = 1e-6

    if aim.collar_girth >= 6 * gauge.rib_row_mm:
        miss = abs(plan.collar_rows * gauge.rib_row_mm - aim.collar_girth)
        assert miss <= gauge.rib_row_mm + fuzz
    if aim.collar_height >= 2 * gauge.rib_stitch_mm:
        miss = abs(plan.collar_stitches * gauge.rib_stitch_mm - aim.collar_height)
        assert miss <= gauge.rib_stitch_mm / 2 + fuzz
    if edge >= max(4 * gauge.row_mm, aim.nape + 2 * gauge.row_mm):
        assert abs(plan.hood_rows * gauge.row_mm - edge) <= gauge.row_mm / 2 + fuzz


@given(aims(), gauges())
@settings(max_examples=150)
def test_the_nape_misses_by_one_row_along_the_fold_at_most(aim: Dimensions, gauge: Gauge) -> None:
    """Room: the target lies between the shortest and the longest nape that the rows allow.

    The crown begins with a right side row, so the nape goes by pairs of rows; half a pair is
    one row, which along the slanting fold is as long as its height and half a stitch together.
    """
    plan = choose(aim, gauge)
    lengths = beside_the_fold(aim, gauge, plan.hood_stitches)
    assume(min(lengths) <= aim.nape <= max(lengths))

    one_row = hypot(gauge.row_mm, gauge.stitch_mm / 2)
    assert abs(nape_length(plan, gauge) - aim.nape) <= one_row + 1e-6


@given(aims(), gauges(), reals(1.0, 2.0))
@settings(max_examples=120)
def test_a_larger_dog_never_gets_fewer_rows_or_stitches(
    aim: Dimensions, gauge: Gauge, larger: float
) -> None:
    def plan(**changes: float) -> RowPlan:
        values = {
            "collar_girth": aim.collar_girth, "collar_height": aim.collar_height,
            "nape": aim.nape, "face_opening": aim.face_opening,
        }  # fmt: skip
        return choose(Dimensions(**(values | changes)), gauge)

    before = plan()
    assert plan(collar_girth=aim.collar_girth * larger).collar_rows >= before.collar_rows
    assert plan(collar_height=aim.collar_height * larger).collar_stitches >= before.collar_stitches
    assert plan(face_opening=aim.face_opening * larger).hood_rows >= before.hood_rows
    # A pair of rows is the nape's step; within one the shape may decide.
    longer = nape_length(plan(nape=aim.nape * larger), gauge)
    assert longer >= nape_length(before, gauge) - 2 * hypot(gauge.row_mm, gauge.stitch_mm)


@given(dogs(), gauges(), yarns())
@settings(max_examples=100)
def test_a_dog_that_shrinks_to_a_toy_still_gets_a_hood(
    case: tuple[Dog, Measurements], gauge: Gauge, yarn: Yarn
) -> None:
    plan = hood_of(*case, yarn, gauge)

    assert plan.collar_stitches >= 2
    assert plan.hood_rows >= 4
    assert plan.crown_row <= plan.hood_rows + 1
    assert len(plan.pairs) == shaped_rows(3, plan.hood_rows)


@given(st.integers(0, 60), st.integers(1, 30))
def test_spreading_loses_no_pair(pairs: int, rows: int) -> None:
    assert sum(spread(pairs, rows)) == pairs
    assert len(spread(pairs, rows)) == rows


@given(reals(0.0, 500.0))
def test_the_nearest_even_number_is_even_and_within_one(value: float) -> None:
    assert nearest_even(value, 6) % 2 == 0
    assert nearest_even(value, 6) == 6 or abs(nearest_even(value, 6) - value) <= 1


@given(st.integers(1, 60), st.integers(0, 60))
def test_right_side_rows_are_counted_as_one_would_on_the_fingers(first: int, last: int) -> None:
    assert shaped_rows(first, last) == sum(
        1 for row in range(first, last + 1) if row % 2 and row >= 3
    )
