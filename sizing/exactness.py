"""How exact tape, gauge and stretch are, and how exact each would be if it were taken again."""

from collections.abc import Iterator, Mapping
from enum import StrEnum
from math import hypot
from typing import Final

from sizing.dogs import Coat, Dog, Risk
from sizing.evidence import Fact, derived
from sizing.stretch import TESTED_SD, Stretch

TAPE_SD: Final = Fact(
    0.03,
    "share of the length",
    derived("same person repeating: 0.90 cm on a girth of 30 to 40 cm, Bascunan et al. 2016"),
)
COAT_SD: Final = Fact(
    0.06,
    "share of the length",
    derived("clipping the coat changed a girth by 3.44 cm, Bascunan et al. 2016; half of it"),
)
HEAD_SD: Final = Fact(
    0.06, "share of the length", derived("judgement: a head that is reckoned from the face girth")
)
GAUGE_SD: Final = Fact(
    0.02,
    "share",
    derived("half a stitch in 14 over 10 cm, spread evenly: 1/28/1.7"),
)
CLASS_SD: Final = Fact(
    0.08, "share", derived("11 to 14 sts per 10 cm in a class of yarn, as 1.5 sd either side")
)
PLAIN_RATIO_SD: Final = Fact(
    0.07,
    "share",
    derived("seven published pairs of row and stitch gauge in plain sc: mean 1.13, sd 0.08"),
)
RIB_RATIO_SD: Final = Fact(
    0.1, "share", derived("judgement: no row gauge of rib is published; half as much again")
)
AGAIN: Final = Fact(0.5, "of the error", derived("judgement: taken again with care and averaged"))
TWO_READINGS: Final = Fact(
    2.8,
    "standard errors",
    derived("1.96 * sqrt(2): of two readings of one length, 19 pairs in 20 differ less"),
)
LEAST_APART: Final = Fact(
    5, "mm", derived("judgement: nobody finds the same two places on fur nearer than that")
)
MOST_APART: Final = Fact(
    20,
    "mm",
    derived(
        "less than the 2.3 cm by which two people differ at least, Bascunan et al. 2016: one who"
        " measures twice comes nearer, on a thick coat and a large dog too"
    ),
)


class Source(StrEnum):
    """What can be measured, or measured again."""

    NECK = "neck girth"
    NAPE = "nape length"
    FACE = "face girth"
    RIB_GAUGE = "rib gauge"
    PLAIN_GAUGE = "plain gauge"
    STRETCH = "stretch of the swatch"
    SWATCH = "gauge of a swatch"
    HEAD = "head girth"


TESTED: Final = {
    Source.SWATCH: 0.0,
    Source.RIB_GAUGE: GAUGE_SD.value,
    Source.PLAIN_GAUGE: GAUGE_SD.value,
}
"""The gauge errors where a swatch was counted: nothing is left of the class's spread."""


def tape_error(dog: Dog, risks: frozenset[Risk]) -> float:
    """Return the relative standard error of a length taken with the tape on this coat."""
    thick = dog.coat is Coat.THICK or Risk.THICK_COAT in risks
    return COAT_SD.value if thick else TAPE_SD.value


def far_apart(first_mm: float, second_mm: float, error: float) -> bool:
    """Return whether two readings of one length differ by more than the tape's error explains.

    Whatever the length and the coat, more than 2 cm are far: the measuring guide says so too.

    Args:
        first_mm: one reading.
        second_mm: the other.
        error: the relative standard error of one of them.
    """
    usual = TWO_READINGS.value * error * (first_mm + second_mm) / 2
    return abs(first_mm - second_mm) > min(max(usual, LEAST_APART.value), MOST_APART.value)


def errors_of(
    dog: Dog,
    risks: frozenset[Risk],
    stretch: Stretch,
    *,
    tested: bool,
    head_measured: bool = False,
) -> dict[Source, float]:
    """Return the relative standard error of each source.

    Args:
        dog: whose coat the tape lies on.
        risks: of the dog, told or known of the breed.
        stretch: of the rib.
        tested: whether the gauge is a swatch's.
        head_measured: whether the head girth was taken with the tape.
    """
    tape = tape_error(dog, risks)
    untested = {
        Source.SWATCH: CLASS_SD.value,
        Source.RIB_GAUGE: RIB_RATIO_SD.value,
        Source.PLAIN_GAUGE: PLAIN_RATIO_SD.value,
    }
    return {
        Source.NECK: tape,
        Source.NAPE: tape,
        Source.FACE: tape,
        Source.STRETCH: stretch.sd,
        Source.HEAD: tape if head_measured else hypot(tape, HEAD_SD.value),
        **(TESTED if tested else untested),
    }


def surer_errors(
    errors: Mapping[Source, float], stretch: Stretch
) -> Iterator[tuple[Source, dict[Source, float]]]:
    """Yield each thing that can be measured, or measured again, with the errors then."""
    untested = errors[Source.SWATCH] > 0
    if untested:  # a swatch gives both gauges at once
        yield Source.SWATCH, {**errors, **TESTED}
    for source in (Source.NECK, Source.NAPE, Source.FACE):
        yield source, {**errors, source: errors[source] * AGAIN.value}
    if not untested:
        for source in (Source.RIB_GAUGE, Source.PLAIN_GAUGE):
            yield source, {**errors, source: errors[source] * AGAIN.value}
    again = errors[Source.STRETCH] * AGAIN.value
    surer = again if stretch.tested else min(again, TESTED_SD.value)
    yield Source.STRETCH, {**errors, Source.STRETCH: surer}
