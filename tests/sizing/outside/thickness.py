"""How thick a yarn is: metres and grams, wraps on a ruler, and the gauge of its class."""

from functools import partial
from math import inf, pi, sqrt

from sizing.gauge import default_gauge
from sizing.strand import (
    MM_PER_METRE,
    USUAL_THICKNESS,
    WRAPPED_DENSITY,
    plain_size,
    thickness_mm,
)
from sizing.yarns import WeightClass
from tests.sizing.builders import INCH, yarn
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check, Within
from tests.sizing.outside.gauge import name

METRES = {
    WeightClass.LACE: (18, 600, 800),
    WeightClass.SUPER_FINE: (14, 400, 480),
    WeightClass.FINE: (12, 300, 400),
    WeightClass.LIGHT: (11, 240, 300),
    WeightClass.MEDIUM: (9, 120, 240),
    WeightClass.BULKY: (7, 100, 130),
}
"""Wraps per inch; metres in 100 g from and to."""
OTHER_WRAPS = {
    WeightClass.LACE: (16.0, inf),
    WeightClass.SUPER_FINE: (13.0, 15.0),
    WeightClass.FINE: (12.0, 12.0),
    WeightClass.LIGHT: (11.0, 11.0),
    WeightClass.MEDIUM: (9.0, 10.0),
    WeightClass.BULKY: (7.0, 7.0),
}
FINE_GAUGE = (
    "The class's usual gauge is finer than its thickness: crochet in it is dense, so 0.37 of the"
    " stitch is too thin. The model takes the thickness from the ball, not from the class."
)
GAUGE_DIFFERS = {
    WeightClass.LACE: FINE_GAUGE + " Lace's gauge is counted in dc, too.",
    WeightClass.SUPER_FINE: FINE_GAUGE,
}


def _wraps(weight_class: WeightClass) -> float:
    _, least, most = METRES[weight_class]
    return INCH / thickness_mm(yarn(metres=sqrt(least * most), grams=100))


def _metres(weight_class: WeightClass) -> float:
    """Metres in 100 g of the yarn that is as thick as is usual at the class's gauge."""
    thickness = USUAL_THICKNESS.value * plain_size(default_gauge(yarn(weight_class=weight_class)))
    return 100 / (WRAPPED_DENSITY.value * pi * thickness**2 / 4) / MM_PER_METRE.value


CHECKS = (
    *(
        Check(
            f"wraps-{name(one).replace(' ', '-')}",
            f"Wraps per inch from metres and grams, {name(one)}",
            sources.WRAPS,
            float(METRES[one][0]),
            partial(_wraps, one),
            "an inch",
            Within(share=0.05, why="printed as whole wraps"),
            taken=True,
            also="test_strand.py::test_metres_and_grams_give_the_thickness_that_wraps_on_a_ruler",
        )
        for one in METRES
    ),
    *(
        Check(
            f"wraps-other-{name(one).replace(' ', '-')}",
            f"The same against another's list, {name(one)}",
            sources.WRAPS_OTHER,
            span,
            partial(_wraps, one),
            "an inch",
            Within(share=0.05, why="printed as whole wraps"),
        )
        for one, span in OTHER_WRAPS.items()
    ),
    *(
        Check(
            f"metres-{name(one).replace(' ', '-')}",
            f"Metres in 100 g of a yarn of the usual thickness at the class's gauge, {name(one)}",
            sources.WRAPS,
            (float(least), float(most)),
            partial(_metres, one),
            "m",
            Within(share=0.05, why="ends printed in tens of metres"),
            taken=one >= WeightClass.LIGHT,
            differs=GAUGE_DIFFERS.get(one, ""),
        )
        for one, (_, least, most) in METRES.items()
    ),
)
