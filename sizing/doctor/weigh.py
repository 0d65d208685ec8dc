"""Weighing the explanations of a dog's lengths against one another, by Bayes.

With r the residual, P the precision matrix and g = P r, every explanation is a step of a few
products from the first: moving one ln length by d changes the squared distance by
2 d g + d² P; a field with more spread, or one left out, is a change of rank one. So one
Cholesky serves them all.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import exp, log
from typing import Final, NamedTuple

from sizing.doctor import spreads
from sizing.doctor.findings import Explanation, Kind
from sizing.doctor.model import Picture
from sizing.doctor.normal import dot, log_density, times
from sizing.doctor.slips import LONGEST_WRITTEN, PRIORS, SHORTEST_WRITTEN, Slip, slips
from sizing.dogs import Field
from sizing.units import LengthUnit

_RARE: Final = spreads.RARE.value
_USUAL: Final = 1 - _RARE
_WIDER: Final = spreads.RARE_WIDER.value
_LOG_WIDER: Final = log(_WIDER)
_NARROWER: Final = (1 - 1 / _WIDER**2) / 2
_LOG_PRIORS: Final = {kind: log(fact.value) for kind, fact in PRIORS.items()}
_ANY_NUMBER: Final = -log(log(LONGEST_WRITTEN.value / SHORTEST_WRITTEN.value))


@dataclass(frozen=True, slots=True)
class Weighed:
    """The explanations with their probabilities, and what the thresholds need.

    Attributes:
        explanations: likeliest first, their probabilities adding up to 1.
        distance: of the numbers as given from the usual, in spreads, all fields together.
        smooth: the probability that all is true, swapped digits and the way a number ends left
            aside: it falls steadily as a number moves away, so stops hang on it.
        marked: the same, but the way a number ends counts where it speaks for a slip: never
            more than `smooth`. What is asked hangs on it.
    """

    explanations: tuple[Explanation, ...]
    distance: float
    smooth: float
    marked: float


class _Trial(NamedTuple):
    kind: Kind
    fields: tuple[Field, ...]
    meant: tuple[tuple[Field, float], ...]
    log_weight: float
    marks: float = 0.0


def _dogs(size: int, log_det: float, squared: float) -> float:
    """Return the log-density of dogs: most as usual, some rare ones with a wider spread."""
    usual = log_density(size, log_det, squared)
    gap = squared * _NARROWER - size * _LOG_WIDER
    if gap < 0:
        return usual + log(_USUAL + _RARE * exp(gap))
    return usual + gap + log(_RARE + _USUAL * exp(-gap))


def residual(shape: Picture, lengths: Mapping[Field, float]) -> list[float]:
    """Return how far ln of each length in mm is from its mean."""
    return [log(lengths[f]) - m for f, m in zip(shape.fields, shape.mean, strict=True)]


class _Scale:
    """The numbers as given, and the log-weight of each explanation of them."""

    def __init__(self, shape: Picture, lengths: Mapping[Field, float]) -> None:
        self.shape = shape
        self.lengths = lengths
        self.size = len(shape.fields)
        self.place = {field: place for place, field in enumerate(shape.fields)}
        off = residual(shape, lengths)
        self.pull = times(shape.precision, off)
        self.squared = max(0.0, dot(off, self.pull))

    def told(self, slip: Slip) -> _Trial:
        """Weigh a slip that tells what was meant."""
        squared = self.squared
        moves = [(self.place[field], move) for field, move in slip.moves]
        for i, move in moves:
            row = self.shape.precision[i]
            squared += 2 * move * self.pull[i]
            squared += move * sum([other * row[j] for j, other in moves])
        weight = slip.measure + _dogs(self.size, self.shape.log_det, max(0.0, squared))
        meant = tuple([(field, self.lengths[field] * exp(move)) for field, move in slip.moves])
        fields = tuple([field for field, _ in slip.moves])
        return _Trial(slip.kind, fields, meant, _LOG_PRIORS[slip.kind] + weight, slip.marks)

    def elsewhere(self, kind: Kind, field: Field, factor: float, spread: float) -> _Trial:
        """Weigh a tape at a place whose girth is a loosely known factor of the right one."""
        i, variance = self.place[field], spread**2
        along = self.shape.precision[i][i]
        pull = self.pull[i] - log(factor) * along
        squared = self.squared - log(factor) * (self.pull[i] + pull)
        grown = 1 + variance * along
        weight = _dogs(
            self.size,
            self.shape.log_det + log(grown),
            max(0.0, squared - variance * pull**2 / grown),
        )
        return _Trial(kind, (field,), (), _LOG_PRIORS[kind] + weight)

    def unknown(self, field: Field) -> _Trial:
        """Weigh a number that has nothing to do with the dog: any, evenly by its log."""
        i = self.place[field]
        along = self.shape.precision[i][i]
        weight = _ANY_NUMBER + _dogs(
            self.size - 1,
            self.shape.log_det + log(along),
            max(0.0, self.squared - self.pull[i] ** 2 / along),
        )
        return _Trial(Kind.UNKNOWN, (field,), (), _LOG_PRIORS[Kind.UNKNOWN] + weight)

    def other_size(self) -> _Trial:
        """Weigh lengths that are true beside a weight or breed that is not."""
        growth, variance = self.shape.growth, spreads.OTHER_SIZE.value**2
        grown = 1 + variance * dot(growth, times(self.shape.precision, growth))
        squared = self.squared - variance * dot(growth, self.pull) ** 2 / grown
        weight = _dogs(self.size, self.shape.log_det + log(grown), max(0.0, squared))
        return _Trial(Kind.SIZE, (), (), _LOG_PRIORS[Kind.SIZE] + weight)


def _wrong(scale: _Scale, lengths: Mapping[Field, float], unit: LengthUnit) -> Iterator[_Trial]:
    """Yield every explanation by which something is wrong."""
    for slip in slips(lengths, unit):
        yield scale.told(slip)
    for field in scale.shape.fields:
        yield scale.unknown(field)
    if Field.FACE_GIRTH in lengths:
        factor, spread = spreads.MUZZLE.value, spreads.MUZZLE_SD.value
        yield scale.elsewhere(Kind.MUZZLE, Field.FACE_GIRTH, factor, spread)
    if Field.NECK_GIRTH in lengths:
        factor, spread = spreads.BASE_OF_NECK.value, spreads.BASE_OF_NECK_SD.value
        yield scale.elsewhere(Kind.SHOULDER, Field.NECK_GIRTH, factor, spread)
    if scale.shape.size.told and scale.size > 1:
        yield scale.other_size()


def _true(scale: _Scale, wrong: list[_Trial]) -> _Trial:
    # Digits might be swapped in every field: else it would hang on the order's unit.
    kinds = [trial.kind for trial in wrong if trial.kind is not Kind.DIGITS]
    chance = 1 - sum(PRIORS[kind].value for kind in (*kinds, *scale.size * (Kind.DIGITS,)))
    weight = _dogs(scale.size, scale.shape.log_det, scale.squared)
    return _Trial(Kind.TRUE, (), (), log(chance) + weight)


def _shares(logs: list[float]) -> list[float]:
    """Return weights given as logs as shares of their sum."""
    top = max(logs)
    weights = [exp(one - top) for one in logs]
    total = sum(weights)
    return [weight / total for weight in weights]


def weigh(shape: Picture, lengths: Mapping[Field, float], unit: LengthUnit) -> Weighed:
    """Weigh the explanations of lengths in mm, written in an order of that unit."""
    scale = _Scale(shape, lengths)
    wrong = list(_wrong(scale, lengths, unit))
    trials = [_true(scale, wrong), *wrong]
    shares = _shares([trial.log_weight + trial.marks for trial in trials])
    steady = [trial for trial in trials if trial.kind is not Kind.DIGITS]
    smooth = _shares([trial.log_weight for trial in steady])[0]
    marked = _shares([trial.log_weight + max(0.0, trial.marks) for trial in steady])[0]
    found = [
        Explanation(trial.kind, trial.fields, trial.meant, share)
        for share, trial in zip(shares, trials, strict=True)
    ]
    found.sort(key=lambda one: -one.probability)
    return Weighed(tuple(found), scale.squared ** (1 / 2), smooth, marked)
