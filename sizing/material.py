"""How much yarn: metres, grams and balls, from the stitch counts.

Published figures for the yarn in a stitch disagree by nearly a factor of two, so without
a weighed swatch the interval is wide and says so.
"""

from dataclasses import dataclass
from math import ceil
from typing import Final

from sizing.evidence import Fact, derived, memory, published
from sizing.gauge import SPAN, Gauge, Swatch
from sizing.machine import Replay
from sizing.rows import Op
from sizing.yarns import Yarn

YARN_PER_WIDTH: Final = Fact(
    8.8,
    "mm of yarn per mm of stitch width",
    derived(
        "12.4 cm of yarn per cm2 of sc in worsted with a 5 mm hook (one hobbyist's unravelled"
        " samples, weak) times the 7.1 mm row of the medium class"
    ),
)
LEAST_PER_WIDTH: Final = Fact(
    5.5, "mm per mm", derived("70 mm per sc in bulky yarn at the coarse end of its gauge (weak)")
)
MOST_PER_WIDTH: Final = Fact(
    10.6, "mm per mm", derived("53 in of yarn in a 5 in row of sc (one hobbyist's sample, weak)")
)
CHAIN_SHARE: Final = Fact(
    0.48,
    "of an sc",
    derived("25.5 in of yarn in a 5 in chain against 53 in in a row of sc (weak)"),
)
SEAM_SHARE: Final = Fact(0.45, "of an sc", memory("a slip stitch; no figure is published"))
DECREASE_SHARE: Final = Fact(1.15, "of an sc", memory("an invisible decrease; none published"))
WHIP_WIDTHS: Final = Fact(
    3.0, "mm of yarn per mm of seam", derived("a seam tail is three times the seam (tutorials)")
)
TAIL: Final = Fact(150.0, "mm per end", published("tails of 10 to 15 cm to weave in (tutorials)"))
ENDS: Final = Fact(4, "ends", derived("begin and end of the collar, begin and end of the hood"))
MM_PER_METRE: Final = Fact(1000, "mm", derived("definition"))
SWATCH_SIDE: Final = Fact(
    150.0, "mm", published("swatch of 12 to 20 cm, measured in the middle (tutorials)")
)
SWATCHES: Final = Fact(2, "pieces", derived("one in back-loop rib, one in plain sc"))
WEIGHED_SPREAD: Final = Fact(
    0.10, "share", derived("a scale that reads whole grams on a 10 g swatch is out by 10 percent")
)


@dataclass(frozen=True, slots=True)
class Spread:
    """A value with the low and the high end of what can be."""

    low: float
    likely: float
    high: float

    def times(self, factor: float) -> "Spread":
        """Return the spread in another unit."""
        return Spread(self.low * factor, self.likely * factor, self.high * factor)


@dataclass(frozen=True, slots=True)
class YarnNeed:
    """Yarn for a hood: metres, grams, whole balls, and how the figure was made."""

    metres: Spread
    grams: Spread
    balls_low: int
    balls_likely: int
    balls_to_buy: int
    basis: str


def sc_equivalents(made: Replay, gauge: Gauge) -> float:
    """Return the stitches of a hood counted in plain single crochets.

    A rib stitch counts by its own width, seams and decreases by their share.
    """
    count = dict(made.made)
    rib = gauge.rib_stitch_mm / gauge.stitch_mm
    return (
        made.chains * CHAIN_SHARE.value * rib
        + count.get(Op.SC, 0)
        + count.get(Op.SC_BLO, 0) * rib
        + count.get(Op.DEC, 0) * DECREASE_SHARE.value
        + count.get(Op.SL_ST, 0) * SEAM_SHARE.value * rib
    )


def swatch_stitches(gauge: Gauge) -> float:
    """Return the single crochets in the swatches of an untested gauge."""
    side = SWATCH_SIDE.value / SPAN.value
    return SWATCHES.value * gauge.plain_stitches * gauge.plain_rows * side * side


def _loose_metres(made: Replay, gauge: Gauge) -> float:
    """Return the metres in tails and whip stitches, which are no crocheted stitches."""
    whips = dict(made.made).get(Op.WHIP, 0)
    return (
        ENDS.value * TAIL.value + whips * WHIP_WIDTHS.value * gauge.stitch_mm
    ) / MM_PER_METRE.value


def _per_stitch_metres(yarn: Yarn, swatch: Swatch | None, gauge: Gauge) -> tuple[Spread, str]:
    """Return metres in one plain single crochet, and where that comes from."""
    if swatch and swatch.weighed_grams and swatch.weighed_stitches:
        metres = swatch.weighed_grams / swatch.weighed_stitches / yarn.grams_per_metre
        part = WEIGHED_SPREAD.value
        return Spread(metres * (1 - part), metres, metres * (1 + part)), "your weighed swatch"
    width = gauge.stitch_mm / MM_PER_METRE.value
    spread = Spread(LEAST_PER_WIDTH.value, YARN_PER_WIDTH.value, MOST_PER_WIDTH.value)
    return spread.times(width), "stitch width only: weigh a swatch to narrow this"


def yarn_need(made: Replay, yarn: Yarn, gauge: Gauge, swatch: Swatch | None) -> YarnNeed:
    """Return the yarn for a replayed pattern, its swatch included where one is still to make."""
    each, basis = _per_stitch_metres(yarn, swatch, gauge)
    stitches = sc_equivalents(made, gauge)
    stitches += 0 if gauge.tested else swatch_stitches(gauge)
    loose = _loose_metres(made, gauge)
    worked = each.times(stitches)
    metres = Spread(worked.low + loose, worked.likely + loose, worked.high + loose)
    return YarnNeed(
        metres=metres,
        grams=metres.times(yarn.grams_per_metre),
        balls_low=ceil(metres.low / yarn.ball_metres),
        balls_likely=ceil(metres.likely / yarn.ball_metres),
        balls_to_buy=ceil(metres.high / yarn.ball_metres),
        basis=basis,
    )
