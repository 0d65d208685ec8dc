"""How the maker's finished orders sharpen the doctor: normal prior, normal observations.

For each measurement and head type the middle of the usual length may be off by an unknown
offset: a normal with mean 0 and the spread `MIDDLE_OWN`. A finished order, whose numbers
proved true, shows that offset with the noise of one dog, so by Bayes

    precision' = precision + 1 / noise²
    mean'      = (precision x mean + seen / noise²) / precision'

How wide dogs spread is learned too, as one factor on all published variances, by the inverse
chi squared that is conjugate to it: what was believed counts as `SPREAD_TRUST` lengths seen,

    factor = (trust + sum of squared distances) / (trust + lengths seen)

Both updates may be taken in parts and in any order. A dog far from the usual counts as one at
`FARTHEST` noises, so that one wrong record cannot move much. What is learned is bounded where
it is read (`Prior.of`, `Prior.breadth`): the mean within `MOST_SHIFT`, its spread above
`LEAST_SPREAD`, the dogs' spread between `NARROWEST` and `WIDEST`. And whatever was learned, what
the published figures alone would question is questioned still.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import log
from typing import Final

from sizing.doctor.model import Picture, picture, subject_of
from sizing.doctor.normal import dot, times
from sizing.doctor.prior import PUBLISHED, Offset, Prior
from sizing.doctor.scale import residual
from sizing.doctor.spreads import MIDDLE_OWN
from sizing.doctor.standard import stated
from sizing.dogs import Dog, Field, HeadType
from sizing.evidence import Fact, derived

FARTHEST: Final = Fact(
    2, "noises", derived("judgement: all but one dog in twenty lie nearer and count in full")
)


@dataclass(frozen=True, slots=True)
class Finished:
    """A finished order whose numbers proved true: the dog, and its lengths in mm."""

    dog: Dog
    lengths: Mapping[Field, float]


def _updated(offset: Offset, seen: float, noise: float) -> Offset:
    """Return an offset once one more dog has been seen; noise is a variance."""
    precision = 1 / offset.variance + 1 / noise
    return Offset((offset.mean / offset.variance + seen / noise) / precision, 1 / precision)


def _offsets_seen(
    order: Finished, shape: Picture
) -> dict[tuple[Field, HeadType], tuple[float, float]]:
    """Return what one order shows: the offset and the noise of each length, as a variance."""
    subject = subject_of(order.dog)
    figures = stated(subject.breed)
    shown: dict[tuple[Field, HeadType], tuple[float, float]] = {}
    for place, field in enumerate(shape.fields):
        if field in figures:  # judged by its standard, so it tells nothing of the head type
            continue
        noise = shape.covariance[place][place] - MIDDLE_OWN[field].value ** 2
        most = FARTHEST.value * noise**0.5
        off = log(order.lengths[field]) - shape.mean[place]
        shown[field, subject.head] = (min(max(off, -most), most), noise)
    return shown


def _squared(order: Finished, shape: Picture) -> float:
    """Return the squared distance of a dog from the usual; one far away counts as `FARTHEST`."""
    off = residual(shape, order.lengths)
    return min(dot(off, times(shape.precision, off)), len(off) * FARTHEST.value**2)


def learn(prior: Prior, orders: Iterable[Finished]) -> Prior:
    """Return the prior once finished orders have been seen; it starts from `PUBLISHED`."""
    offsets, seen, squared = dict(prior.offsets), prior.seen, prior.squared
    for order in orders:
        shape = picture(subject_of(order.dog), order.lengths)
        for key, (off, noise) in _offsets_seen(order, shape).items():
            offsets[key] = _updated(offsets[key], off, noise)
        seen += len(shape.fields)
        squared += _squared(order, shape)
    return Prior(offsets, seen, squared)


__all__ = ["PUBLISHED", "Finished", "Prior", "learn"]
