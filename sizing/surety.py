"""How sure it is that the hood fits, and what to measure again to be surer.

The logarithm of body / finished is taken as normal: its variance is the sum of the squared
relative errors of tape and gauge. The upper bound of the collar's band has an error too, from the
stretch. First order, closed form: P(low < strain < high) is a difference of normal integrals.

What zones share, and how sure it is that all of them fit, is in `sizing.fabrics`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import erf, hypot, log1p, sqrt
from typing import Final

from sizing.dogs import Risk
from sizing.evidence import Fact, derived
from sizing.exactness import Source, surer_errors
from sizing.fabrics import ZONE_SOURCES, Fabric, bound_of, chances, together
from sizing.stretch import Stretch
from sizing.wearing import Passage, Worn, Zone

LEAST_GAIN: Final = Fact(0.02, "probability", derived("judgement: less is not worth asking for"))
GAUGES: Final = (Source.RIB_GAUGE, Source.PLAIN_GAUGE)


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
        again: what helps most when it is taken, or taken again; None where nothing helps
            noticeably.
        gain: how much that adds to the probability that all zones fit.
        overall: the probability that all zones lie within their bands.
        passes: the probability that the collar goes over the head without force.
    """

    zones: tuple[Sure, ...]
    again: Source | None
    gain: float
    overall: float | None = None
    passes: float | None = None


def _normal(z: float) -> float:
    return (1 + erf(z / sqrt(2))) / 2


def within(
    worn: Worn, stretch: Stretch, risks: frozenset[Risk], errors: Mapping[Source, float]
) -> float:
    """Return the probability that a zone's strain lies within its band."""
    body, gauge = ZONE_SOURCES[worn.zone]
    spread = hypot(errors[body], worn.by_rows * errors[gauge], errors[Source.SWATCH])
    bound = bound_of(worn, stretch, risks, errors[Source.STRETCH])
    (chance,) = chances(worn, spread, bound, [0.0])
    return chance


def all_within(
    zones: tuple[Worn, ...],
    stretch: Stretch,
    risks: frozenset[Risk],
    errors: Mapping[Source, float],
) -> float:
    """Return the probability that the strain of every zone lies within its band."""
    rib, plain = (Fabric(one, zones, stretch, risks, errors) for one in GAUGES)
    return together(errors, rib.fits, plain.fits)


def passing(passage: Passage, stretch: Stretch, errors: Mapping[Source, float]) -> float:
    """Return the probability that the collar goes over the head within the comfortable limit.

    A collar larger than the head counts as one of its size: sure enough. One that opens need not
    go over it.
    """
    if passage.opens:
        return 1.0
    collar = hypot(errors[Source.RIB_GAUGE], errors[Source.SWATCH])
    limit = errors[Source.STRETCH] * stretch.limit / (1 + stretch.limit)
    room = log1p(stretch.limit) - log1p(passage.needed)
    return _normal(room / hypot(errors[Source.HEAD], collar, limit))


def surety_of(
    zones: tuple[Worn, ...],
    stretch: Stretch,
    risks: frozenset[Risk],
    errors: Mapping[Source, float],
    passage: Passage | None = None,
) -> Surety:
    """Return each zone's probability, that of all, and the one thing to measure again."""
    rib, plain = (Fabric(one, zones, stretch, risks, errors) for one in GAUGES)
    overall = together(errors, rib.fits, plain.fits)
    gain, again = LEAST_GAIN.value, None
    for source, surer in surer_errors(errors, stretch):
        if source is not Source.SWATCH:  # with a swatch the class no longer errs
            most = together(errors, rib.at_best(source, errors), plain.at_best(source, errors))
            if most - overall <= gain:
                continue
        more = together(surer, rib.surer(source, surer), plain.surer(source, surer)) - overall
        if more > gain:
            gain, again = more, source
    return Surety(
        zones=tuple(Sure(worn.zone, within(worn, stretch, risks, errors)) for worn in zones),
        again=again,
        gain=gain if again else 0.0,
        overall=overall,
        passes=passing(passage, stretch, errors) if passage else None,
    )
