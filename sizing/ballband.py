"""Does a ball band look right: metres and grams that can hardly be of the yarn's class.

How many balls to buy hangs on them. It is asked after and never stops a plan: the band is at hand.
"""

from typing import Final

from sizing.doctor.findings import Finding, Severity
from sizing.doctor.slips import TEN
from sizing.evidence import Fact, derived, published
from sizing.units import four_figures
from sizing.yarns import WeightClass, Yarn

_TABLE: Final = published("Wikipedia, Yarn weight (older copy, weak): metres per 100 g by class")
_WIDER: Final = published(
    "the same, widened by a seller's conversion sheet (weak): 4 ply 260 to 480, DK 210 to 250,"
    " chunky 90 to 120, super chunky 40 to 80, jumbo under 40 m per 100 g"
)
_UNIT: Final = "m per 100 g"
PER_100_G: Final = {
    WeightClass.LACE: (Fact(600, _UNIT, _TABLE), Fact(800, _UNIT, _TABLE)),
    WeightClass.SUPER_FINE: (Fact(260, _UNIT, _WIDER), Fact(480, _UNIT, _TABLE)),
    WeightClass.FINE: (Fact(300, _UNIT, _TABLE), Fact(400, _UNIT, _TABLE)),
    WeightClass.LIGHT: (Fact(210, _UNIT, _WIDER), Fact(300, _UNIT, _TABLE)),
    WeightClass.MEDIUM: (Fact(120, _UNIT, _TABLE), Fact(240, _UNIT, _TABLE)),
    WeightClass.BULKY: (Fact(90, _UNIT, _WIDER), Fact(130, _UNIT, _TABLE)),
    WeightClass.SUPER_BULKY: (Fact(40, _UNIT, _WIDER), Fact(100, _UNIT, _TABLE)),
    WeightClass.JUMBO: (
        Fact(15, _UNIT, derived("judgement: no lower end is published; felted roving")),
        Fact(40, _UNIT, _WIDER),
    ),
}
"""The least and the most metres that 100 g of a class usually have."""
BEYOND: Final = Fact(
    2.0,
    "times beyond the class's range",
    derived("judgement: cotton is a third denser than wool, and tables disagree by as much"),
)
HUNDRED: Final = Fact(100.0, "g", derived("the table counts per 100 g"))

FIELD: Final = "ball"
NAMES: Final = {FIELD: "ball of the yarn"}
_BASIS: Final = (
    "metres per 100 g by class of yarn, from an encyclopedia and a seller's sheet; cotton is"
    " denser than wool, and tables disagree, so it is asked only where it is far off"
)


def _off(per_100: float, weight_class: WeightClass) -> float:
    """Return how many times beyond its range a class's yarn would be; 1 or less is within."""
    low, high = PER_100_G[weight_class]
    return max(low.value / per_100, per_100 / high.value)


def _why(yarn: Yarn, per_100: float) -> str:
    metres, grams = yarn.ball_metres, yarn.ball_grams
    for factor in (TEN.value, 1 / TEN.value):
        if _off(per_100 * factor, yarn.weight_class) <= 1:
            more, less = four_figures(metres * factor), four_figures(grams / factor)
            return f"Is a point one place off: {more} m, or {less} g?"
    if _off(grams / metres * HUNDRED.value, yarn.weight_class) <= 1:
        return f"Are the two exchanged: {four_figures(grams)} m in {four_figures(metres)} g?"
    likely = min(WeightClass, key=lambda one: max(_off(per_100, one), 1))  # the first that it fits
    return f"It looks like class {likely.value}: is the class right?"


def ball_findings(yarn: Yarn) -> tuple[Finding, ...]:
    """Return what is odd about the metres and grams of a ball: one query, or nothing."""
    per_100 = HUNDRED.value / yarn.grams_per_metre
    if _off(per_100, yarn.weight_class) <= BEYOND.value:
        return ()
    low, high = PER_100_G[yarn.weight_class]
    much = "little" if per_100 < low.value else "much"
    message = (
        f"{four_figures(yarn.ball_metres)} m in a ball of {four_figures(yarn.ball_grams)} g is"
        f" {much} for class {yarn.weight_class.value}: {low.value:g} to {high.value:g} m in 100 g"
        f" would be usual. {_why(yarn, per_100)}"
    )
    return (Finding(FIELD, Severity.QUERY, message, None, None, None, None, _BASIS),)
