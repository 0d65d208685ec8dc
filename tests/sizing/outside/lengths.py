"""Lengths, weights and units."""

import re
from collections.abc import Iterator

import pint

from documents.care_words import WASHING
from sizing.gauge import SPAN
from sizing.units import LengthUnit, inches, millimetres, read_length, read_weight, show_length
from tests.sizing.builders import yarn
from tests.sizing.outside import sources
from tests.sizing.outside.check import Check, Within

CM, INCH = LengthUnit.CM, LengthUnit.INCH
UREG: pint.UnitRegistry[float] = pint.UnitRegistry()


def mm(text: str) -> float:
    return read_length(text, CM).value


def kg(text: str) -> float:
    return read_weight(text).value


def _off(theirs: float, ours: float) -> float:
    return abs(ours / theirs - 1)


def _lengths() -> Iterator[float]:
    for unit, most in (("mm", 2900), ("cm", 290), ("m", 2.9), ("in", 110), ("ft", 9)):
        for place in range(1, 121):
            number = round(most * place / 120, 2)
            theirs = UREG.Quantity(number, unit).to("mm").magnitude
            yield _off(theirs, mm(f"{number} {unit}"))


def _weights() -> Iterator[float]:
    for unit, most in (("kg", 160), ("g", 160_000), ("lb", 350), ("oz", 5600)):
        for place in range(1, 121):
            number = round(most * (0.01 + 0.99 * place / 120), 1)
            theirs = UREG.Quantity(number, unit).to("kg").magnitude
            yield _off(theirs, kg(f"{number} {unit}"))


def _farthest_eighth() -> float:
    """The most that a length shown in inches is off, over every half millimetre to 60 cm."""
    shown = ((half / 2, mm(show_length(half / 2, INCH))) for half in range(13, 1201))
    return max(abs(there - here) for here, there in shown)


def _eighths_shown(length_mm: float) -> float:
    return inches(mm(show_length(length_mm, INCH)))


def _fahrenheit() -> tuple[float, float]:
    """The °C and °F of the first washing words that name both."""
    words = " ".join(text for _, text in WASHING)
    found = re.search(r"(\d+) °C \((\d+) °F\)", words)
    assert found
    return float(found[1]), float(found[2])


CHECKS = (
    Check("inch", "An inch, read", sources.AGREEMENT, 25.4, lambda: mm("1 in"), "mm",
          also="test_units.py::test_inches_on_the_tape_are_read_exactly"),
    Check("inch-converted", "An inch, converted", sources.AGREEMENT, 25.4,
          lambda: millimetres(1), "mm"),
    Check("foot", "1 ft 2 in, read", sources.AGREEMENT, 14 * 25.4, lambda: mm("1 ft 2 in"), "mm"),
    Check("half-inch", "14½ in, read", sources.NIST, 14.5 * 25.4, lambda: mm("14½ in"), "mm",
          also="test_units.py::test_the_traps_of_pints_own_parser_are_not_ours"),
    Check("pound", "A pound, read", sources.AGREEMENT, 0.45359237, lambda: kg("1 lb"), "kg",
          digits=8),
    Check("pounds-ounces", "26 lb 4 oz, read", sources.AGREEMENT, 26.25 * 0.45359237,
          lambda: kg("26 lb 4 oz"), "kg", digits=8),
    Check("lengths-pint", "600 lengths in mm, cm, m, in, ft: the farthest off", sources.PINT, 0.0,
          lambda: max(_lengths()), "of the length",
          also="test_units.py::test_plain_forms_agree_with_pints_own_units"),
    Check("weights-pint", "480 weights in kg, g, lb, oz: the farthest off", sources.PINT, 0.0,
          lambda: max(_weights()), "of the weight"),
    Check("eighths", "A length shown in inches: the farthest off", sources.NIST,
          (0.0, 25.4 / 16), _farthest_eighth, "mm"),
    Check("pattern-42", "42 cm in inches", sources.PATTERNS, 16.5,
          lambda: _eighths_shown(420), "in", Within(0.125, why="they round to a quarter")),
    Check("pattern-53", "53.5 cm in inches", sources.PATTERNS, 21.0,
          lambda: _eighths_shown(535), "in", Within(0.125, why="they round to a quarter")),
    Check("gauge-span", "The length that a gauge is counted over", sources.CYC, 4 * 25.4,
          lambda: SPAN.value, "mm", Within(share=0.005, why="a tape's exactness"),
          differs="The table prints 4 in and 10 cm as one; we count over 10 cm. 1.6 % is a fifth"
          " of a weight class's own spread, and none where a swatch was counted."),
    Check("tex", "181 m in 100 g, as tex", sources.PINT,
          lambda: UREG.Quantity(100 / 181, "g/m").to("tex").magnitude,
          lambda: yarn(metres=181, grams=100).grams_per_metre * 1000, "tex"),
    Check("tex-definition", "200 m in 100 g, grams in a kilometre", sources.ISO_1144, 500.0,
          lambda: yarn(metres=200, grams=100).grams_per_metre * 1000, "tex"),
    Check("wash-fahrenheit", "The washing temperature on the care sheet", sources.PINT,
          lambda: UREG.Quantity(_fahrenheit()[0], "degC").to("degF").magnitude,
          lambda: _fahrenheit()[1], "°F"),
)  # fmt: skip
