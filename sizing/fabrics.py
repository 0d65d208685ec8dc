"""Zones that are worked in one fabric: how sure it is that all of them fit.

Zones share errors: the class of an untested yarn moves all of them, the plain gauge moves nape and
opening together. What is shared is held at a few places of its normal curve; at each of them the
zones are independent, and the probability that all fit is the weighted mean of the products.
"""

from collections.abc import Iterable, Mapping, Sequence
from math import erf, exp, hypot, log1p, pi, sqrt
from typing import Final

from sizing.dogs import Risk
from sizing.evidence import Fact, derived
from sizing.exactness import Source
from sizing.fit import GENTLE_FOR
from sizing.stretch import SPRINGY_TUG, Stretch
from sizing.wearing import GENTLE_COLLAR, TIGHT_COLLAR, Worn, Zone, collar_band

_MEAN = derived("trapezoidal rule on a normal curve; within 0.01 of the exact mean, see the tests")
PLACES: Final = Fact(7, "places of what is shared", _MEAN)
REACH: Final = Fact(2.5, "sd to the outermost place", _MEAN)

ZONE_SOURCES: Final[dict[Zone, tuple[Source, Source]]] = {
    Zone.COLLAR: (Source.NECK, Source.RIB_GAUGE),
    Zone.NAPE: (Source.NAPE, Source.PLAIN_GAUGE),
    Zone.OPENING: (Source.FACE, Source.PLAIN_GAUGE),
}
TOUCHED_BY: Final[dict[Zone, frozenset[Source]]] = {
    Zone.COLLAR: frozenset({*ZONE_SOURCES[Zone.COLLAR], Source.SWATCH, Source.STRETCH}),
    Zone.NAPE: frozenset({*ZONE_SOURCES[Zone.NAPE], Source.SWATCH}),
    Zone.OPENING: frozenset({*ZONE_SOURCES[Zone.OPENING], Source.SWATCH}),
}
"""What has a part in how sure a zone is."""


def _places() -> tuple[tuple[float, float], ...]:
    """Return evenly spaced places of a normal curve, in sd, with their weights."""
    number, reach = int(PLACES.value), REACH.value
    at = [reach * (2 * i / (number - 1) - 1) for i in range(number)]
    high = [exp(-z * z / 2) for z in at]
    return tuple((z, one / sum(high)) for z, one in zip(at, high, strict=True))


_PLACES: Final = _places()
_MIDDLE: Final = ((0.0, 1.0),)
_ROOT_2: Final = sqrt(2)
_ROOT_TAU: Final = sqrt(2 * pi)


def _held(mean: float, sd: float, low: float, high: float) -> tuple[float, float]:
    """Return mean and standard deviation of a normal value that is held between two ends."""
    if not sd:
        return min(max(mean, low), high), 0.0
    below, above = (low - mean) / sd, (high - mean) / sd
    under, upto = ((1 + erf(z / _ROOT_2)) / 2 for z in (below, above))
    at_low, at_high = (exp(-z * z / 2) / _ROOT_TAU for z in (below, above))
    free = upto - under
    first = low * under + high * (1 - upto) + mean * free + sd * (at_low - at_high)
    second = low * low * under + high * high * (1 - upto) + mean * mean * free
    second += 2 * mean * sd * (at_low - at_high)
    second += sd * sd * (free + below * at_low - above * at_high)
    return first, sqrt(max(0.0, second - first * first))


def bound_of(
    worn: Worn, stretch: Stretch, risks: frozenset[Risk], share: float
) -> tuple[float, float]:
    """Return the middle of the upper end of a zone's band, and the standard error of its log.

    That of the collar follows the tug, but no further than common practice takes it and, for a
    gentle fit, no lower than what is not felt: where the tug lies near such an end, errors move
    the bound to one side only, and its middle with them. The low end has no error.
    """
    if worn.zone is not Zone.COLLAR:
        return worn.high, 0.0
    most = SPRINGY_TUG.value
    nominal, usual = (collar_band(stretch, of)[1] for of in (risks, frozenset[Risk]()))
    if risks & GENTLE_FOR and nominal < usual:
        middle, error = _held(stretch.tug, share * stretch.tug, GENTLE_COLLAR.value, most)
    else:
        part = TIGHT_COLLAR.value
        tug, tug_error = _held(stretch.tug, share * stretch.tug, 0.0, most)
        middle = tug + part * max(0.0, stretch.limit - tug)
        error = hypot((1 - part) * tug_error, part * share * stretch.limit)
    middle += worn.high - nominal
    return middle, error / (1 + middle)


def chances(
    worn: Worn, spread: float, bound: tuple[float, float], shifts: Iterable[float]
) -> list[float]:
    """Return the probability that a zone lies within its band, for each shift of its strain.

    All is in natural logarithms.

    Args:
        worn: the zone.
        spread: the standard error of its strain.
        bound: the upper end of its band and the error of its log, as `bound_of`.
        shifts: by how much what is shared moves the strain.
    """
    strain = log1p(worn.strain)
    low, high = log1p(worn.low) - strain, log1p(bound[0]) - strain
    low_error, high_error = _ROOT_2 * spread, _ROOT_2 * hypot(spread, bound[1])
    # Both tails err: where nothing lies between them the difference may be a hair below 0.
    return [
        inside / 2
        if (inside := erf((high - shift) / high_error) - erf((low - shift) / low_error)) > 0.0
        else 0.0
        for shift in shifts
    ]


def _classes(errors: Mapping[Source, float]) -> tuple[tuple[float, float], ...]:
    """Return the places of the class's error; a tested gauge has none."""
    return _PLACES if errors[Source.SWATCH] else _MIDDLE


class Fabric:
    """The zones worked in one fabric.

    Chances are probabilities that a zone fits: at each place of the class, at each of the gauge.

    Attributes:
        fits: the probability that all its zones fit, at each place of the class.
    """

    def __init__(
        self,
        gauge: Source,
        zones: Iterable[Worn],
        stretch: Stretch,
        risks: frozenset[Risk],
        errors: Mapping[Source, float],
    ) -> None:
        """Take the zones with that gauge from among all; `stretch` is the rib's."""
        self._zones = [worn for worn in zones if ZONE_SOURCES[worn.zone][1] is gauge]
        self._gauge = gauge
        self._stretch = stretch
        self._risks = risks
        # The gauge is shared only where more than one zone is worked in the fabric.
        self._shared = len(self._zones) > 1
        self._places = _PLACES if self._shared else _MIDDLE
        self._chance_of = [self._chances_of(worn, errors) for worn in self._zones]
        self.fits = self._all_fit(self._chance_of, errors)

    def _chances_of(self, worn: Worn, errors: Mapping[Source, float]) -> list[float]:
        gauge, swatch = errors[self._gauge], errors[Source.SWATCH]
        own = 0.0 if self._shared else gauge
        spread = hypot(errors[ZONE_SOURCES[worn.zone][0]], own * worn.by_rows)
        bound = bound_of(worn, self._stretch, self._risks, errors[Source.STRETCH])
        moves = [at * gauge * worn.by_rows for at, _ in self._places]
        shifts = [z * swatch + move for z, _ in _classes(errors) for move in moves]
        return chances(worn, spread, bound, shifts)

    def _all_fit(
        self, of_zones: Sequence[list[float]], errors: Mapping[Source, float]
    ) -> list[float]:
        if not of_zones:
            return [1.0] * len(_classes(errors))
        fits, *others = of_zones
        if not self._shared:
            return fits
        for other in others:
            fits = [a * b for a, b in zip(fits, other, strict=True)]
        weights = [weight for _, weight in self._places]
        return [
            sum([w * fit for w, fit in zip(weights, fits[at : at + len(weights)], strict=True)])
            for at in range(0, len(fits), len(weights))
        ]

    def _touched(self, source: Source) -> list[bool]:
        return [source in TOUCHED_BY[worn.zone] for worn in self._zones]

    def surer(self, source: Source, errors: Mapping[Source, float]) -> list[float]:
        """Return `fits` once a source is surer; a zone that it has no part in stays as it is."""
        touched = self._touched(source)
        if self._zones and not any(touched):
            return self.fits
        seen = zip(touched, self._zones, self._chance_of, strict=True)
        then = [self._chances_of(worn, errors) if anew else now for anew, worn, now in seen]
        return self._all_fit(then, errors)

    def at_best(self, source: Source, errors: Mapping[Source, float]) -> list[float]:
        """Return `fits` were every zone that a source has a part in sure to fit.

        However sure the source becomes, `surer` is never more, while the class errs as before.
        """
        touched = self._touched(source)
        if not any(touched):
            return self.fits
        seen = zip(touched, self._chance_of, strict=True)
        return self._all_fit([[1.0] * len(now) if sure else now for sure, now in seen], errors)


def together(errors: Mapping[Source, float], rib: list[float], plain: list[float]) -> float:
    """Return the mean over the class of the products of what two fabrics fit."""
    return sum([w * a * b for (_, w), a, b in zip(_classes(errors), rib, plain, strict=True)])
