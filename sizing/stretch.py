"""How far a rib fabric gives: from a stretch test of the swatch, or by fibre.

The test is an in-house form of ISO 20932-1 method B and ASTM D2594: the rib swatch is
measured along its rows lying relaxed, under a light tug, at the limit where it still feels
comfortable, and after letting go. No extension of crocheted back-loop rib is published, so
the defaults are wide; a test narrows them.
"""

from dataclasses import dataclass
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived, practice
from sizing.yarns import STEADY_BLEND, Yarn

SPRINGY_TUG: Final = Fact(
    3 / 11, "strain", practice("14 in neck, 11 in strip in stretchy acrylic, by a light tug")
)
STEADY_TUG: Final = Fact(
    0.5 / 13.5,
    "strain",
    derived(
        "common practice, no source: a cotton blend is made near the body measure; read as half"
        " an inch short of a 14 in neck"
    ),
)
SPRINGY_LIMIT: Final = Fact(
    0.6,
    "strain",
    derived(
        "judgement: about twice the light tug; a knitted scarf can be pulled to twice its length"
        " (on Phys. Rev. X 8, 021075, 2018), crochet gives less than knitting"
    ),
)
STEADY_LIMIT: Final = Fact(
    0.3, "strain", derived("judgement: half the springy limit; rib structure gives in any fibre")
)
UNTESTED_SD: Final = Fact(
    0.2,
    "share of the strain",
    derived("common practice, no source: 2 to 3 in short of 14 in spans strains of 0.17 to 0.27"),
)
TESTED_SD: Final = Fact(
    0.08, "share of the strain", derived("judgement: 2 mm in a tug of 25 mm on a 10 cm swatch")
)
MOST_STRAIN: Final = Fact(
    2.0,
    "strain",
    derived("well under the 300 % to which machine ribs were pulled, Yelina et al."),
)
MOST_GROWTH: Final = Fact(
    0.2, "strain", derived("judgement: a swatch that stays a fifth longer has been overstretched")
)

MOST_SHORTER: Final = Fact(
    0.2, "share of the width", derived("judgement: more is no springing back but a slip")
)


@dataclass(frozen=True, slots=True)
class StretchTest:
    """Widths of the rib swatch in mm, along the direction that goes round the neck."""

    relaxed: float
    tug: float
    limit: float
    after: float

    def __post_init__(self) -> None:
        """Refuse widths that no fabric shows."""
        if not 0 < self.relaxed <= self.tug <= self.limit:
            reason = "A stretch test reads relaxed, then tugged, then at the limit: never less."
            raise ValueOutOfRangeError("stretch", reason)
        if self.limit > self.relaxed * (1 + MOST_STRAIN.value):
            reason = (
                f"No rib is pulled to more than {1 + MOST_STRAIN.value:g} times its relaxed width"
                " in comfort: measure both again, in one unit."
            )
            raise ValueOutOfRangeError("stretch", reason)
        if not self.relaxed * (1 - MOST_SHORTER.value) <= self.after <= self.limit:
            reason = (
                "After letting go a swatch is hardly narrower than relaxed and no wider than at"
                " the limit: measure it again."
            )
            raise ValueOutOfRangeError("stretch", reason)


@dataclass(frozen=True, slots=True)
class Stretch:
    """What a rib fabric gives, as strains on its relaxed length.

    Attributes:
        tug: under a light tug: how it is worn.
        limit: the most that is still comfortable.
        growth: what stays after letting go; 0 where it was not tested.
        sd: relative standard deviation of `tug` and of `limit`.
        tested: whether a swatch was stretched.
    """

    tug: float
    limit: float
    growth: float
    sd: float
    tested: bool


def by_fibre(yarn: Yarn) -> Stretch:
    """Return what a rib of this yarn usually gives.

    In a straight line from springy, with no steady fibre, to steady at half steady fibre; the
    line is drawn in the share by which a strip is made shorter, tug / (1 + tug).
    """
    steady = min(1.0, yarn.steady_share / STEADY_BLEND.value)
    springy_share = SPRINGY_TUG.value / (1 + SPRINGY_TUG.value)
    steady_share = STEADY_TUG.value / (1 + STEADY_TUG.value)
    share = springy_share + steady * (steady_share - springy_share)
    limit = SPRINGY_LIMIT.value + steady * (STEADY_LIMIT.value - SPRINGY_LIMIT.value)
    return Stretch(share / (1 - share), limit, 0.0, UNTESTED_SD.value, tested=False)


def stretch_of(yarn: Yarn, test: StretchTest | None) -> Stretch:
    """Return what the tested swatch gives, or what the fibre usually does."""
    if test is None:
        return by_fibre(yarn)
    tug, limit = test.tug / test.relaxed - 1, test.limit / test.relaxed - 1
    growth = max(0.0, test.after / test.relaxed - 1)
    return Stretch(tug, limit, growth, TESTED_SD.value, tested=True)
