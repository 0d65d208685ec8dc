"""How sure it is that the hood fits, and what to measure again to be surer.

The logarithm of body / finished is taken as normal: its variance is the sum of the squared
relative errors of tape and gauge. The upper bound of the collar's band has an error too, from the
stretch. First order, closed form: P(low < strain < high) is a difference of normal integrals.

Zones share errors: the class of an untested yarn moves all of them, the plain gauge moves nape and
opening together. What is shared is held at a few places of its normal curve; at each of them the
zones are independent, and the probability that all fit is the weighted mean of the products.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import erf, exp, hypot, log1p, prod, sqrt
from typing import Final

from sizing.dogs import Risk
from sizing.evidence import Fact, derived
from sizing.exactness import Source, surer_errors
from sizing.fit import GENTLE_FOR
from sizing.stretch import SPRINGY_TUG, Stretch
from sizing.wearing import GENTLE_COLLAR, TIGHT_COLLAR, Passage, Worn, Zone

LEAST_GAIN: Final = Fact(0.02, "probability", derived("judgement: less is not worth asking for"))
_MEAN = derived("trapezoidal rule on a normal curve; within 0.01 of the exact mean, see the tests")
PLACES: Final = Fact(7, "places of what is shared", _MEAN)
REACH: Final = Fact(2.5, "sd to the outermost place", _MEAN)


ZONE_SOURCES: Final[dict[Zone, tuple[Source, Source]]] = {
    Zone.COLLAR: (Source.NECK, Source.RIB_GAUGE),
    Zone.NAPE: (Source.NAPE, Source.PLAIN_GAUGE),
    Zone.OPENING: (Source.FACE, Source.PLAIN_GAUGE),
}
RIB_ONLY: Final = frozenset({Source.NECK, Source.RIB_GAUGE, Source.STRETCH})
PLAIN_ONLY: Final = frozenset({Source.NAPE, Source.FACE, Source.PLAIN_GAUGE})


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


def _places() -> tuple[tuple[float, float], ...]:
    """Return evenly spaced places of a normal curve, in sd, with their weights."""
    number, reach = int(PLACES.value), REACH.value
    at = [reach * (2 * i / (number - 1) - 1) for i in range(number)]
    high = [exp(-z * z / 2) for z in at]
    return tuple((z, one / sum(high)) for z, one in zip(at, high, strict=True))


_PLACES: Final = _places()
_MIDDLE: Final = ((0.0, 1.0),)


def bound_error(worn: Worn, stretch: Stretch, risks: frozenset[Risk], share: float) -> float:
    """Return the standard error of log(1 + high) of a zone's band; the low end has none."""
    if worn.zone is not Zone.COLLAR:
        return 0.0
    # Beyond what common practice takes of it, an error of the tug changes nothing.
    tug = stretch.tug if stretch.tug <= SPRINGY_TUG.value else 0.0
    if risks & GENTLE_FOR:
        return share * tug / (1 + worn.high) if tug > GENTLE_COLLAR.value else 0.0
    own, limit = (1 - TIGHT_COLLAR.value) * tug, TIGHT_COLLAR.value * stretch.limit
    return share * hypot(own, limit) / (1 + worn.high)


@dataclass(frozen=True, slots=True)
class _Edges:
    """A band seen from the strain, in logarithms, with the errors of its ends."""

    low: float
    high: float
    low_error: float
    high_error: float
    by_rows: float

    def holds(self, shift: float) -> float:
        """Return the probability of the band for a strain shifted by what is shared."""
        above = erf((self.high - shift) / self.high_error)
        below = erf((self.low - shift) / self.low_error)
        return max(0.0, above - below) / 2


def _edges(worn: Worn, spread: float, high_error: float) -> _Edges:
    strain = log1p(worn.strain)
    return _Edges(
        low=log1p(worn.low) - strain,
        high=log1p(worn.high) - strain,
        low_error=sqrt(2) * spread,
        high_error=sqrt(2) * hypot(spread, high_error),
        by_rows=worn.by_rows,
    )


def within(
    worn: Worn, stretch: Stretch, risks: frozenset[Risk], errors: Mapping[Source, float]
) -> float:
    """Return the probability that a zone's strain lies within its band."""
    body, gauge = ZONE_SOURCES[worn.zone]
    spread = hypot(errors[body], worn.by_rows * errors[gauge], errors[Source.SWATCH])
    error = bound_error(worn, stretch, risks, errors[Source.STRETCH])
    return _edges(worn, spread, error).holds(0.0)


def _parts(
    zones: tuple[Worn, ...],
    stretch: Stretch,
    risks: frozenset[Risk],
    errors: Mapping[Source, float],
    *,
    plain: bool,
) -> list[float]:
    """Return the probability that all zones of one fabric fit, at each place of the class.

    Args:
        zones: all of them.
        stretch: of the rib.
        risks: of the dog.
        errors: the standard errors.
        plain: whether the zones of plain sc are asked for, or those of rib.
    """
    mine = [w for w in zones if (ZONE_SOURCES[w.zone][1] is Source.PLAIN_GAUGE) is plain]
    gauge = errors[Source.PLAIN_GAUGE if plain else Source.RIB_GAUGE]
    # The gauge is shared only where more than one zone is worked in the fabric.
    own, places = (0.0, _PLACES) if len(mine) > 1 else (gauge, _MIDDLE)
    edges = [
        _edges(
            worn,
            hypot(errors[ZONE_SOURCES[worn.zone][0]], own * worn.by_rows),
            bound_error(worn, stretch, risks, errors[Source.STRETCH]),
        )
        for worn in mine
    ]
    return [
        sum(
            weight
            * prod([e.holds(z * errors[Source.SWATCH] + at * gauge * e.by_rows) for e in edges])
            for at, weight in places
        )
        for z, _ in _classes(errors)
    ]


def _classes(errors: Mapping[Source, float]) -> tuple[tuple[float, float], ...]:
    """Return the places of the class's error; a tested gauge has none."""
    return _PLACES if errors[Source.SWATCH] else _MIDDLE


def _together(
    errors: Mapping[Source, float], rib: Iterable[float], plain: Iterable[float]
) -> float:
    """Return the mean over the class of the products of its parts."""
    return sum(w * a * b for (_, w), a, b in zip(_classes(errors), rib, plain, strict=True))


def all_within(
    zones: tuple[Worn, ...],
    stretch: Stretch,
    risks: frozenset[Risk],
    errors: Mapping[Source, float],
) -> float:
    """Return the probability that the strain of every zone lies within its band."""
    rib, plain = (_parts(zones, stretch, risks, errors, plain=one) for one in (False, True))
    return _together(errors, rib, plain)


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
    rib, plain = (_parts(zones, stretch, risks, errors, plain=one) for one in (False, True))
    overall = _together(errors, rib, plain)
    gain, again = LEAST_GAIN.value, None
    for source, surer in surer_errors(errors, stretch):
        # A measurement of one fabric's zones leaves the other's as they are.
        mine = rib if source in PLAIN_ONLY else _parts(zones, stretch, risks, surer, plain=False)
        hood = plain if source in RIB_ONLY else _parts(zones, stretch, risks, surer, plain=True)
        more = _together(surer, mine, hood) - overall
        if more > gain:
            gain, again = more, source
    return Surety(
        zones=tuple(Sure(worn.zone, within(worn, stretch, risks, errors)) for worn in zones),
        again=again,
        gain=gain if again else 0.0,
        overall=overall,
        passes=passing(passage, stretch, errors) if passage else None,
    )
