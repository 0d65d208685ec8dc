"""Areas, lengths and rounds, against shapely."""

from collections.abc import Iterator
from functools import cache
from math import cos, pi, sin

import numpy as np
from shapely import LineString, Point, Polygon

from sizing.addons.rounds import cone_counts, disc_counts, increases_per_round, tube_counts
from sizing.dogs import Field, HeadType
from sizing.evenly import shares
from sizing.fit import Dimensions, reduction, target
from sizing.gauge import Gauge
from sizing.plan import Plan, make_plan
from sizing.rowplan import RowPlan
from sizing.search import choose
from sizing.shape import HalfPanel, finished, half_panel
from sizing.stretch import by_fibre
from tests.sizing.builders import request, yarn
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check, Within
from tests.sizing.strategies import of_weight

SQUARE, TALL = (Gauge(14, 14, 14, 14 * ratio, tested=True) for ratio in (1.0, 1.13))
ROUNDS = 10


@cache
def worked() -> Plan:
    """The hood of the worked examples: a 14 in neck, medium acrylic, the class's gauge."""
    return make_plan(request())


def polygon() -> Polygon:
    return Polygon(worked().panel.outline)


def _nape(panel: HalfPanel) -> float:
    return LineString(panel.fold).project(Point(panel.crown_at))


def _crown(panel: HalfPanel) -> float:
    seam = Point(panel.fold[-1]).distance(Point(panel.front[1]))
    return LineString(panel.fold).length - _nape(panel) + seam


def _crown_of(done: Dimensions) -> float:
    assert done.crown is not None
    return done.crown


def _hoods() -> Iterator[tuple[RowPlan, Gauge]]:
    """Sixty hoods for dogs of 2 to 80 kg, in gauges from lace to jumbo."""
    rng = np.random.default_rng(20270401)
    less = reduction(by_fibre(yarn()), frozenset())
    for kg in np.geomspace(2, 80, 60):
        places = {field: float(rng.uniform()) for field in Field}
        aim = target(of_weight(float(kg), HeadType.MEDIUM, places), less)
        stitches, ratio, rib = rng.uniform(5, 30), rng.uniform(0.95, 1.3), rng.uniform(0.9, 1.1)
        rows = stitches * ratio
        gauge = Gauge(
            float(stitches * rib), float(rows * rib), float(stitches), float(rows), tested=True
        )
        yield choose(aim, gauge), gauge


def _farthest() -> float:
    """The farthest that area, perimeter, nape or crown of these hoods is off."""
    worst = 0.0
    for plan, gauge in _hoods():
        panel, done = half_panel(plan, gauge), finished(plan, gauge)
        theirs = Polygon(panel.outline)
        pairs = (
            (theirs.area, panel.area),
            (theirs.length, panel.perimeter),
            (_nape(panel), done.nape),
            (_crown(panel), _crown_of(done)),
        )
        worst = max(worst, *(abs(ours / there - 1) for there, ours in pairs))
    return worst


def _crossing() -> float:
    return float(sum(not Polygon(half_panel(*hood).outline).is_valid for hood in _hoods()))


def circle(radius: float) -> Polygon:
    return Point(0, 0).buffer(radius, quad_segs=2000)


def _disc(gauge: Gauge) -> list[int]:
    return disc_counts(ROUNDS, increases_per_round(gauge))


def _sector(slant: float, base: float) -> Polygon:
    """A cone of this slant and diameter, unrolled."""
    turn = pi * base / slant
    arc = [(slant * cos(turn * n / 2000), slant * sin(turn * n / 2000)) for n in range(2001)]
    return Polygon([(0.0, 0.0), *arc])


def _fabric(counts: list[int], gauge: Gauge) -> float:
    return sum(counts) * gauge.stitch_mm * gauge.row_mm / 100


def _unequal() -> float:
    """How many shares of 1 to 80 stitches over 1 to 24 places differ from numpy's."""
    return float(
        sum(
            sorted(shares(total, parts))
            != sorted(len(one) for one in np.array_split(np.arange(total), parts))
            for total in range(1, 81)
            for parts in range(1, 25)
        )
    )


_STEP = Within(share=0.09, why="half an increase of six in each round")
_ROUND = Within(share=0.12, why="whole stitches, and a tip of 4")
_ALSO = "test_shape.py::test_shapely_finds_the_same_areas_perimeters_and_lengths"

CHECKS = (
    Check("area", "Half-panel of the worked example: area", sources.SHAPELY,
          lambda: polygon().area / 100, lambda: worked().panel.area / 100, "cm²", also=_ALSO),
    Check("perimeter", "The same: the way round it", sources.SHAPELY,
          lambda: polygon().length, lambda: worked().panel.perimeter, "mm", also=_ALSO),
    Check("nape-fold", "The same: nape along the fold", sources.SHAPELY,
          lambda: _nape(worked().panel), lambda: worked().finished.nape, "mm", also=_ALSO),
    Check("crown-fold", "The same: crown along fold and seam", sources.SHAPELY,
          lambda: _crown(worked().panel), lambda: _crown_of(worked().finished), "mm",
          also=_ALSO),
    Check("sixty-hoods", "60 hoods, 2 to 80 kg: area, perimeter, nape, crown, the farthest off",
          sources.SHAPELY, 0.0, _farthest, "of the value", also=_ALSO),
    Check("crossing", "Of these, panels whose outline crosses itself", sources.SHAPELY, 0.0,
          _crossing, "of 60", also=_ALSO),
    Check("disc-6", "Increases a round of a flat disc, rows as high as stitches are wide",
          sources.CIRCLES, 6.0, lambda: float(increases_per_round(SQUARE)), "a round",
          also="test_addons.py::test_six_increases_a_round_where_the_gauge_is_nearly_square"),
    Check("disc-circle", "Way round the 10th round of that disc", sources.SHAPELY,
          lambda: circle(ROUNDS * SQUARE.row_mm).length,
          lambda: _disc(SQUARE)[-1] * SQUARE.stitch_mm, "mm", _STEP),
    Check("disc-circle-tall", "The same at the class's 1.13 rows a stitch", sources.SHAPELY,
          lambda: circle(ROUNDS * TALL.row_mm).length,
          lambda: _disc(TALL)[-1] * TALL.stitch_mm, "mm", _STEP),
    Check("disc-area", "Fabric of that disc, its stitches at the gauge", sources.SHAPELY,
          lambda: circle(ROUNDS * TALL.row_mm).area / 100, lambda: _fabric(_disc(TALL), TALL),
          "cm²", _STEP,
          differs="6 increases stand for 5.6, and each round is as long as its outer edge: the"
          " stitches, at the gauge, cover more than the circle, so the disc lies a little full."
          " Its yarn and time are counted by the stitch and are not touched."),
    Check("cone-area", "Fabric of a horn, 60 mm across, 90 mm long", sources.SHAPELY,
          lambda: _sector((90**2 + 30**2) ** 0.5, 60).area / 100,
          lambda: _fabric(cone_counts(60, 90, TALL), TALL), "cm²", _ROUND),
    Check("tube-round", "Way round a tube 60 mm across", sources.SHAPELY,
          lambda: circle(30).length,
          lambda: tube_counts(60, 120, TALL)[-1] * TALL.stitch_mm, "mm",
          Within(100 / 28, why="half a stitch")),
    Check("evenly", "Stitches shared out over places: shares unlike array_split's",
          sources.NUMPY, 0.0, _unequal, "of 1920"),
)  # fmt: skip
