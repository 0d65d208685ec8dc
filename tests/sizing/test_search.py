"""The search finds the best row plan there is: held against an oracle written apart."""

from itertools import product
from math import hypot
from statistics import median

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.dogs import Measurements
from sizing.fit import Dimensions
from sizing.gauge import Gauge, default_gauge
from sizing.rowplan import RowPlan
from sizing.search import (
    Shaping,
    best_shaping,
    choose,
    crown_of,
    nape_of,
    shaping_cost,
    shaping_for,
    usual_shaping,
)
from sizing.shape import finished
from tests.sizing.builders import yarn


def oracle_pairs(rows: int, crown_row: int, nape: int, crown: int) -> tuple[int, ...]:
    """Spread pairs over the decreasing rows by going round: heavier rows come last."""
    places = [row for row in range(3, rows + 1) if row % 2]
    in_nape = [row for row in places if row < crown_row]
    in_crown = [row for row in places if row >= crown_row]
    given: dict[int, int] = dict.fromkeys(places, 0)
    for part, pairs in ((in_nape, nape), (in_crown, crown)):
        for n in range(1, pairs + 1):
            given[part[-(-n * len(part) // pairs) - 1]] += 1
    return tuple(given[row] for row in places)


def oracle_cost(plan: RowPlan, stitches: int, aim: Dimensions, gauge: Gauge) -> float:
    """The stated cost, straight from the finished dimensions of a plan."""
    made = finished(plan, gauge)
    nape_rows = [row for row in range(3, plan.crown_row) if row % 2]
    crown_rows = [row for row in range(3, plan.hood_rows + 1) if row % 2 and row >= plan.crown_row]
    nape = sum(plan.pairs[: len(nape_rows)])
    crown = sum(plan.pairs) - nape
    floor = max(6, 2 * round(stitches / 10))
    room = max(0, (stitches - floor) // 2)
    missing_nape = min(len(nape_rows), max(0, room - min(1, len(crown_rows)))) - nape
    missing_crown = min(2 * len(crown_rows), room - nape) - crown
    cost = 1.5 * ((made.face_opening - aim.face_opening) / 2 / gauge.row_mm) ** 2
    cost += 1.0 * ((made.nape - aim.nape) / gauge.row_mm) ** 2
    if aim.crown is not None and made.crown is not None:
        cost += 0.5 * ((made.crown - aim.crown) / gauge.row_mm) ** 2
    return cost + 0.1 * missing_nape**2 + 0.02 * missing_crown**2


def oracle_best(stitches: int, aim: Dimensions, gauge: Gauge, far: int = 4) -> float:
    """The least cost of all plans with hood rows up to `far` from the nearest, unpruned."""
    room = max(0, (stitches - max(6, 2 * round(stitches / 10))) // 2)
    nearest = max(4, round(aim.face_opening / 2 / gauge.row_mm))
    costs = []
    for rows in range(max(4, nearest - far), nearest + far + 1):
        for crown_row in [*range(3, rows + 1, 2), rows + 1]:
            nape_rows = len(range(3, crown_row, 2))
            crown_rows = len(range(3, rows + 1, 2)) - nape_rows
            for nape, crown in product(range(nape_rows + 1), range(2 * crown_rows + 1)):
                if nape + crown > room or (crown_rows and room > nape and not crown):
                    continue
                if crown_rows and room and nape == room:
                    continue
                usual = min(2 * crown_rows, room - nape)
                if aim.crown is None and crown != usual:
                    continue
                pairs = oracle_pairs(rows, crown_row, nape, crown)
                plan = RowPlan(10, stitches, rows, crown_row, pairs)
                costs.append(oracle_cost(plan, stitches, aim, gauge))
    return min(costs)


SMALL = st.tuples(
    st.integers(4, 22).map(lambda n: 2 * n),
    st.floats(20, 200),
    st.floats(60, 420),
    st.none() | st.floats(40, 300),
    st.floats(8, 18),
    st.floats(1.0, 1.3),
)
Case = tuple[int, float, float, float | None, float, float]


def unpacked(case: Case) -> tuple[int, Dimensions, Gauge]:
    stitches, nape, opening, crown, gauge, ratio = case
    aim = Dimensions(200, 80, nape, opening, crown)
    return stitches, aim, Gauge(gauge, gauge * ratio, gauge, gauge * ratio, tested=True)


@given(SMALL)
@settings(max_examples=150, deadline=None)
def test_no_plan_that_the_oracle_knows_is_better(case: Case) -> None:
    stitches, aim, gauge = unpacked(case)

    usual = usual_shaping(stitches, aim, gauge)
    found = shaping_cost(best_shaping(usual, stitches, aim, gauge), stitches, aim, gauge)

    assert found <= oracle_best(stitches, aim, gauge) + 1e-9


@given(SMALL)
def test_the_cost_is_the_stated_one_of_the_finished_dimensions(case: Case) -> None:
    stitches, aim, gauge = unpacked(case)

    shaping = shaping_for(stitches, aim, gauge)
    plan = RowPlan(10, stitches, shaping.hood_rows, shaping.crown_row, shaping.pairs)

    expected = oracle_cost(plan, stitches, aim, gauge)
    assert shaping_cost(shaping, stitches, aim, gauge) == pytest.approx(expected, abs=1e-9)
    made = finished(plan, gauge)
    assert nape_of(shaping, gauge) == pytest.approx(made.nape)
    assert crown_of(shaping, stitches, gauge) == pytest.approx(made.crown)


@given(SMALL)
def test_the_plan_of_common_practice_wins_where_it_is_as_good_within_half_a_step(
    case: Case,
) -> None:
    stitches, aim, gauge = unpacked(case)
    usual = usual_shaping(stitches, aim, gauge)
    chosen = shaping_for(stitches, aim, gauge)
    if chosen == usual:
        return

    best = best_shaping(usual, stitches, aim, gauge)
    assert chosen == best
    gaps = [
        (usual.hood_rows - best.hood_rows) * gauge.row_mm,
        abs(nape_of(usual, gauge) - aim.nape) - abs(nape_of(best, gauge) - aim.nape),
    ]
    if aim.crown is not None:
        mine, theirs = (crown_of(one, stitches, gauge) for one in (usual, best))
        gaps.append(abs(mine - aim.crown) - abs(theirs - aim.crown))
    assert max(map(abs, gaps)) > gauge.row_mm / 2 - 1e-9


def test_the_dimensions_come_as_near_as_whole_rows_let_them() -> None:
    """Median miss at most half a row; a nape grows by a fold of two rows, so its worst is one."""
    gauge = default_gauge(yarn())
    napes, edges = [], []
    for neck in range(180, 620, 11):
        body = Measurements(neck * 0.22, neck, neck * 0.31, neck * 1.07)
        aim = Dimensions(
            body.neck_girth * 11 / 14, body.neck_length, body.nape_length, body.face_girth
        )
        made = finished(choose(aim, gauge), gauge)
        napes.append(abs(made.nape - aim.nape) / gauge.row_mm)
        edges.append(abs(made.face_opening - aim.face_opening) / 2 / gauge.row_mm)
    step = hypot(2 * gauge.row_mm, gauge.stitch_mm) / gauge.row_mm

    assert median(edges) <= 0.5
    assert median(napes) <= 0.6
    assert max(edges) <= 0.5 + 1e-9
    assert max(napes) <= step / 2 + 1e-9


def test_a_shaping_knows_its_rows() -> None:
    shaping = Shaping(hood_rows=29, crown_row=13, nape_pairs=5, crown_pairs=11)

    assert (shaping.nape_rows, shaping.crown_rows) == (5, 9)
    assert shaping.pairs[:5] == (1,) * 5
    assert sum(shaping.pairs) == 16
