"""Gauge: stitches and rows per 10 cm, from the maker's swatch or from the weight class.

Two fabrics are measured: single crochet through the back loops (the collar) and plain
single crochet (the hood). The standard table gives no row gauge at all, so a default is
always marked untested and the ticket then begins with the swatch.
"""

from dataclasses import dataclass
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived, memory, published
from sizing.stretch import StretchTest
from sizing.yarns import (
    COTTON_MEDIUM_HOOK,
    DEFAULT_HOOKS,
    STEADY_BLEND,
    WeightClass,
    Yarn,
)

SPAN: Final = Fact(100.0, "mm", derived("gauge is counted over 10 cm"))
_TABLE = published(
    "Craft Yarn Council, Standard Yarn Weight System: sc per 10 cm, middle of the range"
)
DEFAULT_STITCHES: Final = {
    WeightClass.LACE: Fact(
        37.0,
        "sts per 10 cm",
        published("Craft Yarn Council, Standard Yarn Weight System; in dc, weak for sc"),
    ),
    WeightClass.SUPER_FINE: Fact(26.5, "sts per 10 cm", _TABLE),
    WeightClass.FINE: Fact(18.0, "sts per 10 cm", _TABLE),
    WeightClass.LIGHT: Fact(14.5, "sts per 10 cm", _TABLE),
    WeightClass.MEDIUM: Fact(12.5, "sts per 10 cm", _TABLE),
    WeightClass.BULKY: Fact(9.5, "sts per 10 cm", _TABLE),
    WeightClass.SUPER_BULKY: Fact(7.5, "sts per 10 cm", _TABLE),
    WeightClass.JUMBO: Fact(
        5.0,
        "sts per 10 cm",
        published("Craft Yarn Council, Standard Yarn Weight System: 5 and fewer"),
    ),
}
ROWS_PER_STITCH_PLAIN: Final = Fact(
    1.13,
    "rows per stitch",
    derived("mean of seven published pairs of stitch and row gauge in plain sc, 1.00 to 1.25"),
)
ROWS_PER_STITCH_RIB: Final = Fact(
    40 / 11 / 0.254 / 12.5,
    "rows per stitch",
    derived(
        "common practice, no source: 40 rows make 11 in of back-loop rib in medium acrylic;"
        " divided by the class's 12.5 sts per 10 cm"
    ),
)
FINEST: Final = Fact(
    80.0, "per 10 cm", derived("near twice the finest gauge of the standard table, 42")
)
COARSEST: Final = Fact(2.0, "per 10 cm", derived("less than half the coarsest of the table"))
LONGEST_STITCH: Final = Fact(
    1000.0,
    "mm of yarn in a stitch",
    derived("near twice what the coarsest gauge, 2 sts, can take"),
)
HEAVIEST_SWATCH: Final = Fact(1000.0, "g", derived("more than a whole hood weighs"))
THINNEST_HOOK: Final = Fact(
    0.5, "mm", memory("the thinnest steel hooks sold; the table ends at 1.4 mm")
)
THICKEST_HOOK: Final = Fact(30.0, "mm", derived("nearly twice the table's largest, 16 mm"))


@dataclass(frozen=True, slots=True)
class Gauge:
    """Stitches and rows per 10 cm in both fabrics, and whether a swatch was made."""

    rib_stitches: float
    rib_rows: float
    plain_stitches: float
    plain_rows: float
    tested: bool

    def __post_init__(self) -> None:
        """Refuse a gauge that no hook and yarn can give."""
        for name in ("rib_stitches", "rib_rows", "plain_stitches", "plain_rows"):
            if not COARSEST.value <= getattr(self, name) <= FINEST.value:
                shown = name.replace("_", " ")
                reason = f"Count the {shown} over 10 cm again: 2 to 80 can be."
                raise ValueOutOfRangeError(name, reason)

    @property
    def rib_stitch_mm(self) -> float:
        """Return the width of one rib stitch: it makes the collar's height."""
        return SPAN.value / self.rib_stitches

    @property
    def rib_row_mm(self) -> float:
        """Return the height of one rib row: it makes the collar's girth."""
        return SPAN.value / self.rib_rows

    @property
    def stitch_mm(self) -> float:
        """Return the width of one plain stitch."""
        return SPAN.value / self.plain_stitches

    @property
    def row_mm(self) -> float:
        """Return the height of one plain row."""
        return SPAN.value / self.plain_rows


@dataclass(frozen=True, slots=True)
class Swatch:
    """What the maker counted and weighed on a swatch.

    Attributes:
        rib_stitches, rib_rows: per 10 cm, single crochet through the back loops.
        plain_stitches, plain_rows: per 10 cm, plain single crochet.
        hook_mm: the hook it was made with.
        weighed_grams: the weight of the weighed piece, or None.
        weighed_stitches: the single crochets in the weighed piece, or None.
        unravelled_mm: the yarn of some plain single crochets, undone and laid straight, or None.
        unravelled_stitches: how many were undone, or None.
        stretch: the stretch test of the rib, or None.
    """

    rib_stitches: float
    rib_rows: float
    plain_stitches: float
    plain_rows: float
    hook_mm: float | None = None
    weighed_grams: float | None = None
    weighed_stitches: int | None = None
    unravelled_mm: float | None = None
    unravelled_stitches: int | None = None
    stretch: StretchTest | None = None

    def __post_init__(self) -> None:
        """Refuse half a weighing or unravelling, and one of nothing."""
        self._check_unravelled()
        if (self.weighed_grams is None) != (self.weighed_stitches is None):
            reason = "A weighed swatch needs both its grams and its number of stitches."
            raise ValueOutOfRangeError("weighed_grams", reason)
        if self.weighed_grams is None or self.weighed_stitches is None:
            return
        if not 0 < self.weighed_grams <= HEAVIEST_SWATCH.value or self.weighed_stitches < 1:
            reason = (
                f"A weighed swatch has over 0 and up to {HEAVIEST_SWATCH.value:g} g, and a stitch."
            )
            raise ValueOutOfRangeError("weighed_grams", reason)

    def _check_unravelled(self) -> None:
        if (self.unravelled_mm is None) != (self.unravelled_stitches is None):
            reason = "An unravelled swatch needs both its millimetres and its number of stitches."
            raise ValueOutOfRangeError("unravelled_mm", reason)
        if self.unravelled_mm is None or self.unravelled_stitches is None:
            return
        if self.unravelled_stitches < 1 or not (
            0 < self.unravelled_mm / self.unravelled_stitches <= LONGEST_STITCH.value
        ):
            reason = f"A stitch takes over 0 and up to {LONGEST_STITCH.value:g} mm of yarn."
            raise ValueOutOfRangeError("unravelled_mm", reason)

    def gauge(self) -> Gauge:
        """Return the gauge that the swatch shows."""
        return Gauge(
            self.rib_stitches, self.rib_rows, self.plain_stitches, self.plain_rows, tested=True
        )


def default_gauge(yarn: Yarn) -> Gauge:
    """Return the untested gauge of the yarn's weight class."""
    stitches = DEFAULT_STITCHES[yarn.weight_class].value
    return Gauge(
        rib_stitches=stitches,
        rib_rows=stitches * ROWS_PER_STITCH_RIB.value,
        plain_stitches=stitches,
        plain_rows=stitches * ROWS_PER_STITCH_PLAIN.value,
        tested=False,
    )


def gauge_for(yarn: Yarn, swatch: Swatch | None) -> Gauge:
    """Return the swatch's gauge, or the weight class's default."""
    return swatch.gauge() if swatch else default_gauge(yarn)


def default_hook_mm(yarn: Yarn) -> float:
    """Return the hook to begin the swatch with."""
    if yarn.weight_class is WeightClass.MEDIUM and yarn.steady_share >= STEADY_BLEND.value:
        return COTTON_MEDIUM_HOOK.value
    return DEFAULT_HOOKS[yarn.weight_class].value
