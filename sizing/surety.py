"""How sure it is that the hood fits, and what to measure again to be surer.

The logarithm of body / finished is taken as normal: its variance is the sum of the squared
relative errors of tape and gauge. The bounds of a band have an error too, from the stretch.
First order, closed form: P(low < strain < high) is the difference of two normal integrals.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import erf, hypot, log1p, sqrt
from typing import Final

from sizing.dogs import Coat, Dog, Risk
from sizing.evidence import Fact, derived
from sizing.fit import GENTLE_FOR
from sizing.stretch import SPRINGY_TUG, Stretch
from sizing.wearing import GENTLE_COLLAR, TIGHT_COLLAR, Worn, Zone

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
GAUGE_SD: Final = Fact(
    0.02,
    "share",
    derived("half a stitch in 14 over 10 cm, spread evenly: 1/28/1.7"),
)
UNTESTED_GAUGE_SD: Final = Fact(
    0.08, "share", derived("11 to 14 sts per 10 cm in a class of yarn, as 1.5 sd either side")
)
AGAIN: Final = Fact(0.5, "of the error", derived("judgement: taken again with care and averaged"))


class Source(StrEnum):
    """What can be measured again."""

    NECK = "neck girth"
    NAPE = "nape length"
    FACE = "face girth"
    RIB_GAUGE = "rib gauge"
    PLAIN_GAUGE = "plain gauge"
    STRETCH = "stretch of the swatch"


ZONE_SOURCES: Final[dict[Zone, tuple[Source, Source]]] = {
    Zone.COLLAR: (Source.NECK, Source.RIB_GAUGE),
    Zone.NAPE: (Source.NAPE, Source.PLAIN_GAUGE),
    Zone.OPENING: (Source.FACE, Source.PLAIN_GAUGE),
}


@dataclass(frozen=True, slots=True)
class Sure:
    """The probability that a zone lies within its comfort band."""

    zone: Zone
    probability: float


@dataclass(frozen=True, slots=True)
class Surety:
    """How sure the fit is.

    Attributes:
        zones: each zone's probability.
        again: what helps most when it is taken again, or None where nothing helps noticeably.
        gain: how much that adds to the least sure zone's probability that it moves.
    """

    zones: tuple[Sure, ...]
    again: Source | None
    gain: float


LEAST_GAIN: Final = Fact(0.02, "probability", derived("judgement: less is not worth asking for"))


def errors_of(
    dog: Dog, risks: frozenset[Risk], stretch: Stretch, *, tested: bool
) -> dict[Source, float]:
    """Return the relative standard error of each source."""
    thick = dog.coat is Coat.THICK or Risk.THICK_COAT in risks
    tape = COAT_SD.value if thick else TAPE_SD.value
    gauge = GAUGE_SD.value if tested else UNTESTED_GAUGE_SD.value
    return {
        Source.NECK: tape,
        Source.NAPE: tape,
        Source.FACE: tape,
        Source.RIB_GAUGE: gauge,
        Source.PLAIN_GAUGE: gauge,
        Source.STRETCH: stretch.sd,
    }


def _normal(z: float) -> float:
    return (1 + erf(z / sqrt(2))) / 2


def bound_error(worn: Worn, stretch: Stretch, risks: frozenset[Risk], share: float) -> float:
    """Return the standard error of log(1 + high) of a zone's band; the low end has none."""
    if worn.zone is not Zone.COLLAR:
        return 0.0
    tug = min(stretch.tug, SPRINGY_TUG.value)
    if risks & GENTLE_FOR:
        return share * tug / (1 + worn.high) if tug > GENTLE_COLLAR.value else 0.0
    own, limit = (1 - TIGHT_COLLAR.value) * tug, TIGHT_COLLAR.value * stretch.limit
    return share * hypot(own, limit) / (1 + worn.high)


def within(
    worn: Worn, stretch: Stretch, risks: frozenset[Risk], errors: Mapping[Source, float]
) -> float:
    """Return the probability that a zone's strain lies within its band."""
    body, gauge = ZONE_SOURCES[worn.zone]
    spread = hypot(errors[body], errors[gauge])
    high_error = bound_error(worn, stretch, risks, errors[Source.STRETCH])
    strain = log1p(worn.strain)
    above = _normal((log1p(worn.high) - strain) / hypot(spread, high_error))
    below = _normal((log1p(worn.low) - strain) / spread)
    return max(0.0, above - below)


def surety_of(
    zones: tuple[Worn, ...],
    stretch: Stretch,
    risks: frozenset[Risk],
    errors: Mapping[Source, float],
) -> Surety:
    """Return each zone's probability, and the one thing to measure again."""
    sure = tuple(Sure(worn.zone, within(worn, stretch, risks, errors)) for worn in zones)
    best: tuple[float, Source | None] = (LEAST_GAIN.value, None)
    for source in Source:
        surer = {**errors, source: errors[source] * AGAIN.value}
        gains = (
            within(worn, stretch, risks, surer) - now.probability
            for worn, now in zip(zones, sure, strict=True)
        )
        best = max(best, (max(gains), source), key=lambda pair: pair[0])
    gain, again = best
    return Surety(sure, again, gain if again else 0.0)
