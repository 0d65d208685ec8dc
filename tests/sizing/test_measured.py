"""The yarn that a swatch was measured to take: true ones in peace, slips told."""

from dataclasses import replace
from math import exp

import numpy as np
import pytest

from sizing.doctor.findings import Finding, Severity
from sizing.gauge import Swatch, default_gauge
from sizing.measured import UNDONE, WEIGHED, measured_findings
from sizing.plan import make_plan
from sizing.swatches import swatch_findings
from sizing.yarns import WeightClass
from tests.sizing.builders import request, yarn

COUNTED = Swatch(12.5, 14.3, 12.5, 14.1)
METRES = dict(zip(WeightClass, (700, 440, 350, 270, 181, 115, 70, 35), strict=True))


def told(**measured: float) -> tuple[Finding, ...]:
    return swatch_findings(yarn(metres=181), replace(COUNTED, **measured))  # type: ignore[arg-type]


def test_the_published_samples_are_not_asked_after() -> None:
    """53 in of yarn in a 5 in row of sc in worsted; 785.5 in of it in 5 x 5 in (one hobbyist)."""
    in_row = 53 * 25.4 / (12.5 * 1.27)
    in_square = 785.5 * 25.4 / (12.5 * 1.27 * 14.1 * 1.27)
    for mm in (in_row, in_square):
        assert told(unravelled_mm=20 * mm, unravelled_stitches=20) == ()
        assert told(weighed_grams=540 * mm / 1810, weighed_stitches=540) == ()


@pytest.mark.parametrize("weight_class", WeightClass)
def test_true_swatches_are_hardly_ever_asked_after(weight_class: WeightClass) -> None:
    """Drawn makers, whose hands differ by as much as the published figures do."""
    wool = yarn(weight_class=weight_class, metres=METRES[weight_class])
    gauge, dice = default_gauge(wool), np.random.default_rng(5)
    size = (gauge.stitch_mm * gauge.row_mm) ** 0.5
    counts = (gauge.rib_stitches, gauge.rib_rows, gauge.plain_stitches, gauge.plain_rows)
    asked = 0
    for _ in range(400):
        mm = 9.3 * size * exp(0.24 * dice.standard_normal())
        grams = 500 * mm / 1000 / METRES[weight_class] * 100
        made = Swatch(
            *counts,
            weighed_grams=grams + dice.uniform(-1, 1) if grams > 5 else grams,
            weighed_stitches=500,
            unravelled_mm=20 * mm * exp(0.04 * dice.standard_normal()),
            unravelled_stitches=20,
        )
        asked += bool(measured_findings(wool, made))
    assert asked <= 4


def test_slips_are_told_with_what_was_probably_meant() -> None:
    slips = {
        (WEIGHED, 210.0, 540): "210 g may be 21 g, with its point one place off.",
        (WEIGHED, 2.1, 540): "2.1 g may be 21 g, with its point one place off.",
        (WEIGHED, 0.7407, 540): "0.7407 g may be 21 g, for it was read in ounces.",
        (UNDONE, 130.0, 20): "130 mm may be 1300 mm, for it was read in centimetres.",
        (UNDONE, 51.2, 20): "51.2 mm may be 1300 mm, for it was read in inches.",
        (UNDONE, 13000.0, 20): "13000 mm may be 1300 mm, with its point one place off.",
    }
    stitches = {WEIGHED: "weighed_stitches", UNDONE: "unravelled_stitches"}
    for (field, number, count), said in slips.items():
        (found,) = told(**{field: number, stitches[field]: count})
        assert found.field == field
        assert found.severity is Severity.QUERY
        assert said in found.message
        assert "Measure and count again" in found.message


def test_two_ways_that_differ_are_told_where_neither_is_far_from_usual() -> None:
    both = {"weighed_stitches": 540, "unravelled_mm": 1300, "unravelled_stitches": 20}
    assert told(weighed_grams=20, **both) == ()
    (found,) = told(weighed_grams=35, **both)
    assert found.message.startswith("The two ways do not agree: by its weight a stitch")
    (far,) = told(weighed_grams=210, **both)
    assert "may be 21 g" in far.message


def test_odd_counts_come_first_and_no_gauge_at_all_is_refused_elsewhere() -> None:
    odd = replace(COUNTED, plain_rows=41.1, weighed_grams=210, weighed_stitches=540)
    (found,) = swatch_findings(yarn(metres=181), odd)
    assert found.field == "plain_rows"
    assert measured_findings(yarn(), replace(odd, plain_rows=900)) == ()


def test_a_plan_carries_the_query_and_is_made() -> None:
    odd = replace(COUNTED, weighed_grams=210, weighed_stitches=540)
    plan = make_plan(replace(request(), yarn=yarn(metres=181), swatch=odd))
    assert [one.field for one in plan.findings] == [WEIGHED]
    assert plan.yarn.agree is False
