"""The folded half-panel and the finished dimensions, against arithmetic of the test's own."""

from dataclasses import replace
from itertools import pairwise
from math import dist

import pytest
from hypothesis import given, settings
from shapely import LineString, Polygon, affinity
from shapely import Point as Point2

from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.rowplan import RowPlan
from sizing.search import choose
from sizing.shape import Point, finished, half_panel
from tests.sizing.builders import row_plan
from tests.sizing.strategies import gauges
from tests.sizing.test_rowplan import aims

SQUARE = Gauge(10, 10, 10, 10, tested=True)
"""Stitches and rows of 10 mm."""


def area(corners: tuple[Point, ...]) -> float:
    """The shoelace formula; positive where the corners run anticlockwise."""
    following = (*corners[1:], corners[0])
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, following, strict=True)) / 2


def area_by_rows(plan: RowPlan, gauge: Gauge) -> float:
    """The same from the fabric: pairs of rows, each a trapezium of stitches."""
    total = 0.0
    below = plan.hood_stitches
    for row in range(0, plan.hood_rows, 2):
        rows = min(2, plan.hood_rows - row)
        above = plan.stitches_after(row + rows)
        total += (below + above) / 4 * gauge.stitch_mm * rows * gauge.row_mm
        below = above
    return total


@given(aims(), gauges())
@settings(max_examples=120)
def test_the_panels_area_is_that_of_its_rows(aim: Dimensions, gauge: Gauge) -> None:
    plan = choose(aim, gauge)

    assert area(half_panel(plan, gauge).outline) == pytest.approx(area_by_rows(plan, gauge))


@given(aims(), gauges())
@settings(max_examples=120)
def test_nape_crown_and_seam_add_up_to_the_way_round_the_panel(
    aim: Dimensions, gauge: Gauge
) -> None:
    plan = choose(aim, gauge)
    panel, done = half_panel(plan, gauge), finished(plan, gauge)
    assert done.crown is not None

    fold = sum(dist(a, b) for a, b in pairwise(panel.fold))
    seam = dist(panel.fold[-1], panel.front[1])
    assert done.nape + done.crown == pytest.approx(fold + seam)
    assert seam == pytest.approx(plan.last_stitches / 2 * gauge.stitch_mm)
    assert 2 * dist(*panel.front) == pytest.approx(done.face_opening)


@given(aims(), gauges())
@settings(max_examples=120)
def test_the_nape_is_the_fold_up_to_where_the_crown_begins(aim: Dimensions, gauge: Gauge) -> None:
    plan = choose(aim, gauge)
    panel = half_panel(plan, gauge)

    upto = panel.fold[: panel.fold.index(panel.crown_at) + 1]
    walked = sum(dist(a, b) for a, b in pairwise(upto))
    assert finished(plan, gauge).nape == pytest.approx(walked)


@given(aims(), gauges())
@settings(max_examples=120)
def test_the_fold_only_rises_and_only_leans_in(aim: Dimensions, gauge: Gauge) -> None:
    plan = choose(aim, gauge)
    fold = half_panel(plan, gauge).fold

    assert all(b[1] > a[1] and b[0] <= a[0] for a, b in pairwise(fold))
    assert fold[0] == pytest.approx((plan.hood_stitches / 2 * gauge.stitch_mm, 0))


@given(aims(), gauges())
@settings(max_examples=150)
def test_shapely_finds_the_same_areas_perimeters_and_lengths(
    aim: Dimensions, gauge: Gauge
) -> None:
    plan = choose(aim, gauge)
    panel, done = half_panel(plan, gauge), finished(plan, gauge)
    polygon, fold = Polygon(panel.outline), LineString(panel.fold)

    assert polygon.is_valid
    assert polygon.exterior.is_ccw
    assert panel.area == pytest.approx(polygon.area)
    assert panel.perimeter == pytest.approx(polygon.length)
    nape = fold.project(Point2(panel.crown_at))
    assert done.nape == pytest.approx(nape)
    assert done.crown is not None
    seam = Point2(panel.fold[-1]).distance(Point2(panel.front[1]))
    assert done.crown == pytest.approx(fold.length - nape + seam)
    edges = done.nape + done.crown + done.face_opening / 2
    assert panel.perimeter == pytest.approx(edges + plan.hood_stitches / 2 * gauge.stitch_mm)
    # The whole hood, unfolded: both halves side by side along the centre back.
    other = affinity.scale(polygon, xfact=-1, origin=(0, 0))
    assert polygon.area + other.area == pytest.approx(2 * panel.area)
    assert polygon.bounds == pytest.approx(
        (0, 0, plan.hood_stitches / 2 * gauge.stitch_mm, plan.hood_rows * gauge.row_mm)
    )


def test_a_fold_that_turns_back_would_be_seen() -> None:
    """The check itself: shapely calls a polygon that crosses itself invalid."""
    panel = replace(half_panel(row_plan(), SQUARE), fold=((200.0, 0.0), (-50.0, 100.0), (80, 240)))

    assert not Polygon(panel.outline).is_valid


def test_a_hood_without_decreases_is_a_rectangle() -> None:
    plan = RowPlan(4, 20, hood_rows=10, crown_row=11, pairs=(0, 0, 0, 0))

    done = finished(plan, SQUARE)

    assert area(half_panel(plan, SQUARE).outline) == pytest.approx(100 * 100)
    assert done.nape == pytest.approx(100)
    assert done.crown == pytest.approx(100)
    assert done.collar_girth == pytest.approx(200)
    assert done.collar_height == pytest.approx(40)
    assert done.face_opening == pytest.approx(200)


def test_a_nape_of_one_shaped_pair_slants_by_one_stitch() -> None:
    # Two plain rows, 20 mm; then two rows in which 2 decreases take a stitch off each half.
    plan = RowPlan(4, 20, hood_rows=6, crown_row=5, pairs=(1, 2))

    done = finished(plan, SQUARE)

    assert done.nape == pytest.approx(20 + (20**2 + 10**2) ** 0.5)
    assert done.crown == pytest.approx((20**2 + 20**2) ** 0.5 + 70)


def test_a_closer_gauge_makes_a_smaller_panel_of_the_same_rows() -> None:
    closer = replace(SQUARE, plain_stitches=20, plain_rows=20)

    wide = area(half_panel(row_plan(), SQUARE).outline)

    assert area(half_panel(row_plan(), closer).outline) == pytest.approx(wide / 4)
