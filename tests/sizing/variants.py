"""Variants for the property tests: every combination, over dogs, gauges and small row plans."""

from hypothesis import strategies as st

from sizing.addons import AddOn, Shape, part_of
from sizing.errors import ValueOutOfRangeError
from sizing.gauge import Gauge
from sizing.pattern import pattern_of
from sizing.rowplan import RowPlan
from sizing.rows import Part, Pattern
from sizing.search import choose
from sizing.variants import (
    Buttoned,
    EarSlots,
    EdgingStitch,
    Make,
    Stripe,
    Stripes,
    buttoned_collar,
    ear_openings,
    edging_of,
)
from tests.sizing.strategies import coherent_gauges, reals
from tests.sizing.test_rowplan import aims

SHAPES = (
    AddOn(Shape.DISC, 80), AddOn(Shape.CONE, 60, 90, colour="rust"),
    AddOn(Shape.TUBE, 40, 100, 2), AddOn(Shape.LEAF, 60, 90, 2),
)  # fmt: skip
COLOURS = st.sampled_from(["cream", "rust", "dark green", "bleu pétrole", "d'un gris-vert"])


@st.composite
def stripes(draw: st.DrawFn) -> Stripes:
    blocks = st.lists(st.builds(Stripe, COLOURS, st.integers(1, 6)), min_size=1, max_size=4)
    edging = draw(st.just("") | COLOURS)
    return Stripes(tuple(draw(blocks)), tuple(draw(blocks)), edging)


def _add_on(shape: Shape) -> st.SearchStrategy[AddOn]:
    across = reals(58.0, 160.0) if shape is Shape.DISC else reals(32.0, 120.0)
    long = st.just(0.0) if shape is Shape.DISC else reals(58.0, 300.0)
    return st.builds(AddOn, st.just(shape), across, long, st.integers(1, 3), st.just("") | COLOURS)


@st.composite
def shapes(draw: st.DrawFn, gauge: Gauge, turning: int) -> tuple[Part, ...]:
    """At most one of each shape; what this yarn cannot make is left out."""
    found = []
    for shape in draw(st.lists(st.sampled_from(Shape), unique=True)):
        try:
            found.append(part_of(draw(_add_on(shape)), gauge, turning))
        except ValueOutOfRangeError:
            continue
    return tuple(found)


def _ears(draw: st.DrawFn, plan: RowPlan, gauge: Gauge) -> EarSlots | None:
    half = plan.hood_stitches / 2 * gauge.stitch_mm
    above = draw(st.none() | reals(0.01, plan.hood_rows * gauge.row_mm))
    try:
        return ear_openings(
            plan, gauge, draw(reals(0.01, 0.6)) * half, draw(reals(0.01, 0.6)) * half, above
        )
    except ValueOutOfRangeError:
        return None


def _buttoned(draw: st.DrawFn, plan: RowPlan, gauge: Gauge) -> Buttoned | None:
    try:
        return buttoned_collar(plan.collar_stitches, gauge, draw(reals(10.0, 60.0)))
    except ValueOutOfRangeError:
        return None


@st.composite
def makes(draw: st.DrawFn, plan: RowPlan, gauge: Gauge) -> Make:
    """Any combination of variants that this hood can have."""
    turning = draw(st.integers(0, 1))
    edging = draw(st.none() | st.sampled_from(EdgingStitch))
    return Make(
        turning_chain=turning,
        buttoned=_buttoned(draw, plan, gauge) if draw(st.booleans()) else None,
        ears=_ears(draw, plan, gauge) if draw(st.booleans()) else None,
        stripes=draw(st.none() | stripes()),
        edging=edging_of(plan, gauge, edging) if edging else (),
        add_ons=draw(shapes(gauge, turning)),
    )


@st.composite
def small_plans(draw: st.DrawFn) -> RowPlan:
    """Small row plans of every kind, so that a fault has nowhere to hide."""
    nape = draw(st.lists(st.integers(0, 1), max_size=4))
    crown = draw(st.lists(st.integers(0, 2), max_size=4))
    last = 2 * draw(st.integers(3, 8))
    return RowPlan(
        collar_stitches=draw(st.integers(2, 12)),
        collar_rows=last + 2 * sum(nape + crown),
        hood_rows=2 + 2 * len(nape + crown) + draw(st.integers(0, 1)),
        crown_row=3 + 2 * len(nape),
        pairs=tuple(nape + crown),
    )


@st.composite
def made_hoods(draw: st.DrawFn) -> tuple[RowPlan, Gauge, Make]:
    """A dog's hood or a small one, with any variants."""
    gauge = draw(coherent_gauges())
    plan = draw(small_plans()) if draw(st.booleans()) else choose(draw(aims()), gauge)
    return plan, gauge, draw(makes(plan, gauge))


@st.composite
def small_patterns(draw: st.DrawFn) -> Pattern:
    plan, gauge = draw(small_plans()), draw(coherent_gauges())
    return pattern_of(plan, draw(makes(plan, gauge)))
