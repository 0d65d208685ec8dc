"""Gauge and hook of each weight class, and of plain single crochet."""

from functools import partial
from math import inf

import numpy as np

from sizing.exactness import CLASS_SD, GAUGE_SD, PLAIN_RATIO_SD
from sizing.gauge import default_gauge, default_hook_mm
from sizing.pieces import SWATCH_SIDE
from sizing.yarns import WeightClass
from tests.sizing.builders import COTTON_BLEND, INCH, yarn
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check, Within

STITCHES = {
    WeightClass.LACE: (32, 42),
    WeightClass.SUPER_FINE: (21, 32),
    WeightClass.FINE: (16, 20),
    WeightClass.LIGHT: (12, 17),
    WeightClass.MEDIUM: (11, 14),
    WeightClass.BULKY: (8, 11),
    WeightClass.SUPER_BULKY: (6, 9),
    WeightClass.JUMBO: (-inf, 5),
}
"""Single crochet to 4 in; of lace it is double crochet."""
HOOKS = {
    WeightClass.LACE: (1.4, 2.25),
    WeightClass.SUPER_FINE: (2.25, 3.5),
    WeightClass.FINE: (3.5, 4.5),
    WeightClass.LIGHT: (4.5, 5.5),
    WeightClass.MEDIUM: (5.5, 6.5),
    WeightClass.BULKY: (6.5, 9),
    WeightClass.SUPER_BULKY: (9, 16),
    WeightClass.JUMBO: (16, inf),
}
"""Hooks in mm; of lace steel and regular ones."""
SMALLER = (
    "On purpose one size or two under the table, which is made for supple fabric: a hood is worked"
    " firm. The swatch decides."
)
HOOKS_DIFFER = {WeightClass.LIGHT: SMALLER, WeightClass.MEDIUM: SMALLER}
PAIRS = ((14, 16), (13, 15), (12, 15), (20, 22), (10, 11), (12, 14), (10, 10))
"""Stitches and rows to 10 cm, as published."""


def name(weight_class: WeightClass) -> str:
    return weight_class.name.lower().replace("_", " ")


def _stitches(weight_class: WeightClass) -> float:
    return default_gauge(yarn(weight_class=weight_class)).plain_stitches


def _hook(weight_class: WeightClass) -> float:
    return default_hook_mm(yarn(weight_class=weight_class))


def _ratios() -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    return np.array([rows / stitches for stitches, rows in PAIRS])


def _spread() -> float:
    return float(np.std(_ratios(), ddof=1) / np.mean(_ratios()))


def _ratio() -> float:
    gauge = default_gauge(yarn())
    return gauge.plain_rows / gauge.plain_stitches


_ALSO = "test_worked_examples.py::test_a_default_gauge_is_untested_and_a_swatch_is_not"

CHECKS = (
    *(
        Check(
            f"gauge-{name(one).replace(' ', '-')}",
            f"Stitches to 10 cm before a swatch, {name(one)}"
            + (" (the table's are dc: weak for sc)" if one is WeightClass.LACE else ""),
            sources.CYC,
            span,
            partial(_stitches, one),
            "sts",
            taken=True,
            also=_ALSO if one is WeightClass.MEDIUM else "",
        )
        for one, span in STITCHES.items()
    ),
    *(
        Check(
            f"hook-{name(one).replace(' ', '-')}",
            f"Hook to begin the swatch with, {name(one)}",
            sources.CYC,
            span,
            partial(_hook, one),
            "mm",
            taken=one >= WeightClass.BULKY,
            differs=HOOKS_DIFFER.get(one, ""),
        )
        for one, span in HOOKS.items()
    ),
    Check("hook-practice", "Hook for medium acrylic", sources.PRACTICE, 5.0,
          lambda: default_hook_mm(yarn()), "mm", taken=True,
          also="test_worked_examples.py::"
          "test_medium_acrylic_is_worked_with_5_mm_and_a_cotton_blend_with_4_and_a_half"),
    Check("hook-blend", "Hook for a medium cotton blend", sources.PRACTICE, 4.5,
          lambda: default_hook_mm(yarn(COTTON_BLEND)), "mm", taken=True,
          also="test_worked_examples.py::"
          "test_medium_acrylic_is_worked_with_5_mm_and_a_cotton_blend_with_4_and_a_half"),
    Check("rows-mean", "Rows to a stitch in plain sc, before a swatch: mean of seven pairs",
          sources.PAIRS, lambda: float(np.mean(_ratios())), _ratio, "rows", Within(0.005),
          taken=True),
    Check("rows-span", "The same, against the least and the most of the seven", sources.PAIRS,
          lambda: (float(_ratios().min()), float(_ratios().max())), _ratio, "rows", taken=True),
    Check("rows-sd", "How much that ratio differs from hand to hand: sd by mean", sources.PAIRS,
          _spread, lambda: PLAIN_RATIO_SD.value, "", Within(0.01, why="seven pairs"), taken=True,
          also="test_surety.py::"
          "test_the_classs_spread_is_that_of_the_standard_table_and_the_published_pairs"),
    Check("class-sd", "How much a medium yarn's gauge differs: ends of 11 to 14 as 1.5 sd",
          sources.CYC, 1.5 / 12.5 / 1.5, lambda: CLASS_SD.value, "", Within(0.01), taken=True,
          also="test_surety.py::"
          "test_the_classs_spread_is_that_of_the_standard_table_and_the_published_pairs"),
    Check("gauge-sd", "Error of a counted swatch: half a stitch in 14, evenly", sources.SCIPY,
          lambda: 0.5 / 14 / 3**0.5, lambda: GAUGE_SD.value, "", Within(0.005), taken=True),
    Check("rib-rows", "Rows of back-loop rib in an 11 in strip of medium acrylic",
          sources.PRACTICE, 40.0,
          lambda: default_gauge(yarn()).rib_rows * 11 * INCH / 100, "rows", taken=True),
    Check("swatch-side", "Side of the swatch that is reckoned with", sources.SWATCHING,
          (120.0, 200.0), lambda: SWATCH_SIDE.value, "mm", taken=True),
)  # fmt: skip
