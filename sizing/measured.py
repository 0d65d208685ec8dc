"""Does the yarn that a swatch was measured to take look right: weighed, undone, or both.

What is bought hangs on it more than on anything else. What goes wrong has a shape: a point lost,
ounces read for grams, centimetres for millimetres. Two ways that share no sample say what would be
usual, by the stitch and by the area of fabric (`sizing.strand`); only what is far from both is
asked after. It never stops a plan: the swatch is at hand.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, hypot, log
from typing import Final

from sizing.calibrate import SWATCH_SD, ways_of
from sizing.doctor.findings import Finding, Severity
from sizing.doctor.slips import TEN
from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived, published
from sizing.gauge import Swatch
from sizing.shrink import Observation
from sizing.strand import AREA_SD, mm_per_mm2, plain_size, prior_of, sc_mm
from sizing.units import MM_PER_CM, MM_PER_INCH, four_figures
from sizing.yarns import Yarn

ASKED: Final = Fact(
    3.0, "spreads from the usual", derived("0.3 percent of a normal distribution lie beyond")
)
NEAR: Final = Fact(
    1.5, "spreads from the usual", derived("judgement: so near, an explanation is worth a word")
)
GRAMS_PER_OUNCE: Final = Fact(
    28.349523125,
    "g",
    published("NIST Special Publication 811, appendix B: a sixteenth of a pound"),
)

WEIGHED, UNDONE = "weighed_grams", "unravelled_mm"
NAMES: Final = {WEIGHED: "weight of the swatch", UNDONE: "unravelled yarn of the swatch"}
_BASIS: Final = (
    "the size of a stitch and the thickness that metres and grams of the ball tell; few samples"
    " are published, so it is asked only where it is far off"
)
_TENTH: Final = ((1 / TEN.value, "with its point one place off"),)
_TENFOLD: Final = ((TEN.value, "with its point one place off"),)
_SLIPS: Final = {
    WEIGHED: (*_TENTH, *_TENFOLD, (GRAMS_PER_OUNCE.value, "for it was read in ounces")),
    UNDONE: (
        *_TENTH,
        (MM_PER_CM.value, "for it was read in centimetres"),
        (MM_PER_INCH.value, "for it was read in inches"),
    ),
}


@dataclass(frozen=True, slots=True)
class _Usual:
    """The mm of yarn that a stitch lets expect in one way, and the spread of its log."""

    mm: float
    sd: float

    def off(self, mm: float, error: float) -> float:
        """Return how many spreads a length lies off, itself erring by `error`."""
        return abs(log(mm / self.mm)) / hypot(self.sd, error)


def _usual(swatch: Swatch, yarn: Yarn) -> tuple[_Usual, _Usual]:
    gauge = swatch.gauge()
    by_stitch, _ = sc_mm(gauge, yarn)
    by_area = mm_per_mm2(yarn) * plain_size(gauge) ** 2
    return _Usual(by_stitch, prior_of(gauge, yarn).sd), _Usual(by_area, AREA_SD.value)


def _off(one: Observation, factor: float, usual: tuple[_Usual, ...]) -> float:
    return min(way.off(one.actual * factor, one.sd) for way in usual)


def _given(swatch: Swatch, field: str) -> tuple[float, int, str]:
    """Return what was told, for how many stitches, and its unit."""
    if field == WEIGHED:
        return swatch.weighed_grams or 0.0, swatch.weighed_stitches or 0, "g"
    return swatch.unravelled_mm or 0.0, swatch.unravelled_stitches or 0, "mm"


def _far(
    field: str, one: Observation, swatch: Swatch, usual: tuple[_Usual, ...]
) -> Finding | None:
    """Return what is odd about one way of measuring beside what would be usual."""
    if _off(one, 1, usual) <= ASKED.value:
        return None
    told, stitches, unit = _given(swatch, field)
    factor, why = min(_SLIPS[field], key=lambda slip: _off(one, slip[0], usual))
    shown = f"{four_figures(told)} {unit}"
    near = _off(one, factor, usual) <= NEAR.value
    meant = f" {shown} may be {four_figures(told * factor)} {unit}, {why}." if near else ""
    middle = exp(sum(log(way.mm) for way in usual) / len(usual))
    message = (
        f"By the {NAMES[field]}, {shown} for {stitches} stitches, one takes"
        f" {four_figures(one.actual)} mm of yarn; about {middle:.0f} mm would be usual for its"
        f" size in this yarn.{meant} Measure and count again, and look at the ball's metres and"
        " grams."
    )
    return Finding(field, Severity.QUERY, message, None, None, None, None, _BASIS)


def _apart(seen: Mapping[str, Observation]) -> Finding | None:
    """Return that the two ways of measuring one swatch do not agree."""
    if len(seen) < len(NAMES):
        return None
    weighed, undone = seen[WEIGHED], seen[UNDONE]
    error = hypot(weighed.sd, undone.sd, SWATCH_SD.value)
    if abs(log(weighed.actual / undone.actual)) <= ASKED.value * error:
        return None
    message = (
        "The two ways do not agree: by its weight a stitch of the swatch takes"
        f" {weighed.actual:.3g} mm of yarn, by what was undone {undone.actual:.3g} mm. Weigh and"
        " undo again, or leave out the one that you trust less."
    )
    return Finding(WEIGHED, Severity.QUERY, message, None, None, None, None, _BASIS)


def measured_findings(yarn: Yarn, swatch: Swatch) -> tuple[Finding, ...]:
    """Return what is odd about the yarn that a swatch was measured to take; queries, never stops.

    One way alone is held against what is usual; that two ways differ is told where neither is far
    from it.
    """
    try:
        seen, usual = ways_of(swatch, yarn), _usual(swatch, yarn)
    except ValueOutOfRangeError:
        return ()  # refused where the plan is made
    far = [_far(field, one, swatch, usual) for field, one in seen.items()]
    found = [one for one in far if one] or [one for one in (_apart(seen),) if one]
    return tuple(found)
