"""Does a swatch look like one: counts that cannot be of this yarn, or not beside one another.

Every length of a hood comes from four counts. What goes wrong with them has a shape as well: the
digits of a number swapped, a point lost, stitches counted over 5 cm or over an inch instead of
10 cm. It is asked after and never stops a plan: the maker has the swatch at hand. What was weighed
and undone of it is looked at by `sizing.measured`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, log
from statistics import median
from typing import Final

from sizing.doctor.findings import Finding, Severity
from sizing.doctor.slips import TEN, two_swapped
from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived
from sizing.gauge import Gauge, Swatch, default_gauge, default_hook_mm
from sizing.measured import ASKED, NEAR, measured_findings
from sizing.measured import NAMES as OF_YARN
from sizing.yarns import Yarn

_LOG_SD: Final = "SD of the natural log"
LEVEL_SD: Final = Fact(
    0.2,
    _LOG_SD,
    derived(
        "judgement: the standard table's classes reach 12 to 15 percent each way (11 to 14 sts in"
        " medium); widened by half for hands that work tightly or loosely"
    ),
)
ONE_SD: Final = Fact(
    0.12,
    _LOG_SD,
    derived(
        "judgement: rows per stitch in plain sc run from 1.00 to 1.25 in seven published pairs,"
        " 0.07 each way; widened, for rib rests on one"
    ),
)
BY_HOOK: Final = Fact(
    0.5,
    "power of the hook beside the usual one of the yarn's class",
    derived("judgement: a stitch widens with the hook, but its yarn stays as thick"),
)
HALF_SPAN: Final = Fact(2.0, "times as many over 10 cm as over 5 cm", derived("10 cm by 5 cm"))
INCH_SPAN: Final = Fact(3.937, "times as many over 10 cm as over an inch", derived("10 by 2.54"))

COUNTS: Final = ("rib_stitches", "rib_rows", "plain_stitches", "plain_rows")
NAMES: Final = {
    "rib_stitches": "rib stitches of the swatch",
    "rib_rows": "rib rows of the swatch",
    "plain_stitches": "plain stitches of the swatch",
    "plain_rows": "plain rows of the swatch",
    **OF_YARN,
}
_BASIS: Final = (
    "the standard table's stitches for this class of yarn, and how many rows go with so many"
    " stitches; your own hands may differ"
)


@dataclass(frozen=True, slots=True)
class _Slip:
    """By how much a count would be multiplied, and what happened in words."""

    factor: float
    why: str


_SPANS: Final = (
    _Slip(HALF_SPAN.value, "counted over 5 cm"),
    _Slip(INCH_SPAN.value, "counted over an inch"),
)
_POINTS: Final = (
    _Slip(TEN.value, "with its point one place off"),
    _Slip(1 / TEN.value, "with its point one place off"),
)


def _counts(gauge: Gauge) -> dict[str, float]:
    return {name: float(getattr(gauge, name)) for name in COUNTS}


def usual_counts(yarn: Yarn, hook_mm: float | None) -> dict[str, float]:
    """Return the counts over 10 cm that a yarn lets expect with a hook, by their names."""
    wider = (default_hook_mm(yarn) / hook_mm) ** BY_HOOK.value if hook_mm else 1.0
    return {name: count * wider for name, count in _counts(default_gauge(yarn)).items()}


def _best(count: float, usual: float, slips: tuple[_Slip, ...], sd: float) -> _Slip | None:
    """Return the slip that brings a count nearest to the usual one, if it comes near."""
    off = {slip: abs(log(count * slip.factor / usual)) for slip in slips}
    best = min(off, key=lambda slip: off[slip])
    return best if off[best] <= NEAR.value * sd else None


def _all_off(
    given: Mapping[str, float], usual: Mapping[str, float], level: float
) -> Finding | None:
    """Return what is odd about the counts as a whole."""
    if abs(level) <= ASKED.value * LEVEL_SD.value:
        return None
    looser = "few" if level < 0 else "many"
    slip = _best(exp(level), 1, _SPANS, LEVEL_SD.value)
    what = f"Were they {slip.why}? " if slip else ""
    message = (
        f"The counts of the swatch are {looser} for this class of yarn: about"
        f" {usual['plain_stitches']:.3g} plain stitches over 10 cm would be usual, not"
        f" {given['plain_stitches']:.3g}. {what}Look at the yarn's class, the hook, and count"
        " again over 10 cm."
    )
    return Finding(COUNTS[2], Severity.QUERY, message, None, None, None, None, _BASIS)


def _one_off(
    name: str, given: Mapping[str, float], usual: Mapping[str, float], level: float
) -> Finding | None:
    """Return what is odd about one count beside the three others."""
    count, expected = given[name], usual[name] * exp(level)
    if abs(log(count / expected)) <= ASKED.value * ONE_SD.value:
        return None
    swapped = two_swapped(count)
    digits = (_Slip(swapped / count, "two digits swapped"),) if swapped else ()
    slip = _best(count, expected, (*digits, *_POINTS, *_SPANS), ONE_SD.value)
    meant = f" {count:.3g} may be {count * slip.factor:.3g}, {slip.why}." if slip else ""
    size = "few" if count < expected else "many"
    message = (
        f"{count:.3g} is {size} for the {NAMES[name]} beside the three other counts: about"
        f" {expected:.3g} would go with them.{meant} Count again over 10 cm."
    )
    return Finding(name, Severity.QUERY, message, None, None, None, None, _BASIS)


def _odd(yarn: Yarn, swatch: Swatch) -> Finding | None:
    try:
        given = _counts(swatch.gauge())
    except ValueOutOfRangeError:
        return None  # refused where the plan is made
    usual = usual_counts(yarn, swatch.hook_mm)
    level = {name: log(given[name] / usual[name]) for name in COUNTS}
    middle = median(level.values())
    # The one that is furthest off makes the others look odd: it alone is told.
    for name in sorted(COUNTS, key=lambda one: -abs(level[one] - middle)):
        others = median(level[one] for one in COUNTS if one != name)
        if found := _one_off(name, given, usual, others):
            return found
    return _all_off(given, usual, middle)


def swatch_findings(yarn: Yarn, swatch: Swatch | None) -> tuple[Finding, ...]:
    """Return what is odd about a swatch; queries, never stops.

    At most one thing about its counts; where they are in order, what is odd about the yarn that
    it was measured to take, which is reckoned from them.
    """
    if swatch is None:
        return ()
    found = _odd(yarn, swatch)
    return (found,) if found else measured_findings(yarn, swatch)
