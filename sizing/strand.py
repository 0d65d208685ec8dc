"""How much yarn is in a stitch: a function of the gauge and of the yarn's thickness.

Per stitch:  length = 8.9 x s x (d / (0.37 s)) ^ 0.25,   s = root(stitch width x row height)

The size s of the stitch scales it: in knits, stitch density depends on the loop length alone,
whatever the yarn (Munden, in Gravas, Kiekens and van Langenhove 2006, AUTEX Res J 6(4)). A
yarn thicker than is usual for the size goes a longer way round itself (Peirce: l = 2p + w +
5.94 d), which the power of 0.25 carries. Nothing of this is published for crochet.

Per area, a second way, from another sample: a fabric of single, half double
or double crochet alike holds 3.5 yarn thicknesses of length on a square of one thickness.
"""

from dataclasses import dataclass
from math import exp, log, pi, sqrt
from typing import Final

from sizing.evidence import Fact, derived, memory, published
from sizing.gauge import Gauge
from sizing.rows import Op
from sizing.shrink import Belief
from sizing.yarns import Yarn

MM_PER_METRE: Final = Fact(1000, "mm", derived("definition"))
WRAPPED_DENSITY: Final = Fact(
    8.8e-5,
    "g per mm3",
    derived(
        "the density at which yarn lies side by side, wrapped round a ruler: wraps per inch and"
        " metres per 100 g of six classes (tabulated in an encyclopedia) all give a thickness of"
        " 0.116 to 0.125 mm times the root of the tex, mean 0.120"
    ),
)
LENGTH_PER_SIZE: Final = Fact(
    8.9,
    "mm of yarn per mm of stitch size",
    derived(
        "geometric mean of two samples: 53 in of yarn in a 5 in row of sc in worsted (11.3; one"
        " hobbyist, weak), 70 mm in an sc in bulky at the middle of its gauge (7.1; very weak)"
    ),
)
USUAL_THICKNESS: Final = Fact(
    0.37,
    "of the stitch size",
    derived("wraps per inch against the gauge table: 0.36 to 0.38 in light, medium and bulky"),
)
THICKNESS_POWER: Final = Fact(
    0.25,
    "power",
    derived("knits: between 0 (Munden) and about 0.4 (Peirce, plain knit of usual cover)"),
)
THICKNESS_POWER_SD: Final = Fact(0.15, "power", derived("0 to 0.5 is two of these either way"))
LENGTH_SD: Final = Fact(
    0.25,
    "log of the factor",
    derived("logs of the three published figures (11.3, 9.3, 7.1) have an sd of 0.24; few, so up"),
)
LENGTH_PER_SQUARE: Final = Fact(
    3.5,
    "mm of yarn per yarn thickness on a square of one thickness",
    derived(
        "785.5 in of yarn in a 5 x 5 in square of sc in worsted on a 5 mm hook (one hobbyist,"
        " weak), 1.24 mm a mm2, times the 2.82 mm of 9 wraps per inch; hdc 802 in, dc 790 in"
    ),
)
AREA_SD: Final = Fact(
    0.25, "log of the factor", derived("one hand; hands differ by 10 to 20 percent (a blog, weak)")
)


@dataclass(frozen=True, slots=True)
class Share:
    """The yarn of one kind of stitch against a single crochet of the same gauge.

    Attributes:
        share: of an sc.
        sd: standard deviation of the log of the share; it is the same all over a hood.
    """

    share: Fact
    sd: Fact


EXACT: Final = Fact(0.0, "log of the share", derived("the measure itself"))
_SURE = Fact(0.10, "log of the share", memory("judgement: seen once, or near an sc"))
_UNSURE = Fact(0.25, "log of the share", memory("judgement: no figure is published"))
CHAIN: Final = Share(
    Fact(
        0.48,
        "of an sc",
        derived("25.5 in of yarn in a 5 in chain against 53 in in a row of sc (weak)"),
    ),
    _SURE,
)
OTHER: Final = Share(
    Fact(1.0, "of an sc", memory("a stitch not yet weighed: like an sc")), _UNSURE
)
SHARES: Final = {
    Op.SC: Share(Fact(1.0, "of an sc", derived("the measure itself")), EXACT),
    Op.SC_BLO: Share(Fact(1.0, "of an sc", memory("at its own gauge; none published")), _SURE),
    Op.DEC: Share(Fact(1.15, "of an sc", memory("an invisible decrease; none published")), _SURE),
    Op.SC_CH: Share(Fact(1.0, "of an sc", derived("an sc, into a chain")), _SURE),
    Op.SC2TOG: Share(
        Fact(1.3, "of an sc", memory("one loop more than an sc; none published")), _SURE
    ),
    Op.INC: Share(Fact(2.0, "of an sc", derived("two sc in one stitch")), EXACT),
    Op.CH: CHAIN,
    Op.SKIP: Share(Fact(0.0, "of an sc", derived("nothing is worked")), EXACT),
    Op.SL_ST: Share(Fact(0.45, "of an sc", memory("a slip stitch; none published")), _UNSURE),
}
WHIP_WIDTHS: Final = Share(
    Fact(
        3.0,
        "mm of yarn per mm of seam",
        published("about three times the length of the seam (a blog on joining, 2011)"),
    ),
    _UNSURE,
)


def share_of(op: Op) -> Share:
    """Return the share of a kind of stitch; a whip stitch is no crocheted stitch."""
    return SHARES.get(op, OTHER)


def thickness_mm(yarn: Yarn) -> float:
    """Return the yarn's thickness in mm, from the metres and grams of its ball."""
    grams_per_mm = yarn.grams_per_metre / MM_PER_METRE.value
    return 2 * sqrt(grams_per_mm / (pi * WRAPPED_DENSITY.value))


def _sc_mm(size: float, thickness: float) -> float:
    usual = USUAL_THICKNESS.value * size
    return LENGTH_PER_SIZE.value * size * exp(THICKNESS_POWER.value * log(thickness / usual))


def plain_size(gauge: Gauge) -> float:
    """Return the size of a plain stitch in mm: the root of its area."""
    return sqrt(gauge.stitch_mm * gauge.row_mm)


def rib_size(gauge: Gauge) -> float:
    """Return the size of a rib stitch in mm: the root of its area."""
    return sqrt(gauge.rib_stitch_mm * gauge.rib_row_mm)


def sc_mm(gauge: Gauge, yarn: Yarn) -> tuple[float, float]:
    """Return the mm of yarn in a plain sc and in one at the rib's gauge, at factor 1."""
    thickness = thickness_mm(yarn)
    return _sc_mm(plain_size(gauge), thickness), _sc_mm(rib_size(gauge), thickness)


def prior_of(gauge: Gauge, yarn: Yarn) -> Belief:
    """Return what is believed of the factor before anything of this yarn was measured.

    A yarn that is unusually thick or thin for its stitches makes it less sure.
    """
    odd = log(thickness_mm(yarn) / (USUAL_THICKNESS.value * plain_size(gauge)))
    return Belief(0.0, sqrt(LENGTH_SD.value**2 + (THICKNESS_POWER_SD.value * odd) ** 2))


def mm_per_mm2(yarn: Yarn) -> float:
    """Return the mm of yarn in a mm2 of sc, hdc or dc fabric: the second, separate way."""
    return LENGTH_PER_SQUARE.value / thickness_mm(yarn)
