"""One explanation's weight: how the density of a dog's lengths changes with what is believed.

With r the residual, P the precision matrix and g = P r, every explanation is a step of a few
products from the first: moving one ln length by d changes the squared distance by
2 d g + d² P; a field with more spread, or one left out, is a change of rank one. So one
Cholesky serves them all.
"""

from collections.abc import Mapping
from math import exp, log
from typing import Final, NamedTuple

from sizing.doctor import spreads
from sizing.doctor.findings import Kind
from sizing.doctor.model import Picture
from sizing.doctor.normal import dot, log_density, times
from sizing.doctor.slips import LONGEST_WRITTEN, PRIORS, SHORTEST_WRITTEN, Slip
from sizing.dogs import Field

_RARE: Final = spreads.RARE.value
_USUAL: Final = 1 - _RARE
_WIDER: Final = spreads.RARE_WIDER.value
_LOG_WIDER: Final = log(_WIDER)
_NARROWER: Final = (1 - 1 / _WIDER**2) / 2
_LOG_PRIORS: Final = {kind: log(fact.value) for kind, fact in PRIORS.items()}
ANY_NUMBER: Final = -log(log(LONGEST_WRITTEN.value / SHORTEST_WRITTEN.value))
_OTHER_SIZE: Final = spreads.OTHER_SIZE.value**2


class Trial(NamedTuple):
    """One explanation on the scale.

    Attributes:
        kind: what happened.
        fields: the measurements that it makes wrong, where `moves` do not name them.
        moves: each measurement with what to add to its ln to have what was meant, where that
            can be told.
        log_weight: the log of its weight beside the others.
        marks: the log of how much the way a number ends speaks for it.
    """

    kind: Kind
    fields: tuple[Field, ...]
    moves: tuple[tuple[Field, float], ...]
    log_weight: float
    marks: float = 0.0


def _dogs(size: int, log_det: float, squared: float) -> float:
    """Return the log-density of dogs: most as usual, some rare ones with a wider spread.

    Rounding may leave a squared distance a hair below 0.
    """
    if squared < 0:
        squared = 0.0
    usual = log_density(size, log_det, squared)
    gap = squared * _NARROWER - size * _LOG_WIDER
    if gap < 0:
        return usual + log(_USUAL + _RARE * exp(gap))
    return usual + gap + log(_RARE + _USUAL * exp(-gap))


def residual(shape: Picture, lengths: Mapping[Field, float]) -> list[float]:
    """Return how far ln of each length in mm is from its mean."""
    return [log(lengths[f]) - m for f, m in zip(shape.fields, shape.mean, strict=True)]


class Scale:
    """The numbers as given, and the log-weight of each explanation of them.

    Attributes:
        shape: the picture of the dog.
        squared: the squared distance of the numbers from the usual, in spreads.
        growth_pull: how much they pull towards another size.
        grown: by how much an untrusted size makes the picture wider, as a factor.
    """

    def __init__(self, shape: Picture, lengths: Mapping[Field, float]) -> None:
        """Take what is the same for all explanations; lengths in mm."""
        self.shape = shape
        self.size = len(shape.fields)
        self.log_det = shape.log_det
        self.place = {field: place for place, field in enumerate(shape.fields)}
        off = residual(shape, lengths)
        self.pull = times(shape.precision, off)
        self.squared = max(0.0, dot(off, self.pull))
        self.growth_pull = dot(shape.growth, self.pull)
        self.grown = 1 + _OTHER_SIZE * dot(shape.growth, times(shape.precision, shape.growth))

    def as_given(self) -> float:
        """Return the log-density of the numbers as they were given."""
        return _dogs(self.size, self.log_det, self.squared)

    def told(self, slip: Slip) -> Trial:
        """Weigh a slip that tells what was meant."""
        kind, moves, measure, marks = slip
        squared, precision, pull, place = self.squared, self.shape.precision, self.pull, self.place
        if len(moves) == 1:  # most of them
            ((field, move),) = moves
            i = place[field]
            squared += 2 * move * pull[i]
            squared += move * (move * precision[i][i])
        else:
            placed = [(place[field], move) for field, move in moves]
            for i, move in placed:
                row = precision[i]
                squared += 2 * move * pull[i]
                squared += move * sum([other * row[j] for j, other in placed])
        weight = measure + _dogs(self.size, self.log_det, squared)
        return Trial(kind, (), moves, _LOG_PRIORS[kind] + weight, marks)

    def elsewhere(self, kind: Kind, field: Field, log_factor: float, variance: float) -> Trial:
        """Weigh a tape at a place whose girth is a loosely known factor of the right one."""
        i = self.place[field]
        along = self.shape.precision[i][i]
        pull = self.pull[i] - log_factor * along
        squared = self.squared - log_factor * (self.pull[i] + pull)
        grown = 1 + variance * along
        weight = _dogs(
            self.size,
            self.log_det + log(grown),
            squared - variance * pull**2 / grown,
        )
        return Trial(kind, (field,), (), _LOG_PRIORS[kind] + weight)

    def unknown(self, field: Field) -> Trial:
        """Weigh a number that has nothing to do with the dog: any, evenly by its log."""
        i = self.place[field]
        along = self.shape.precision[i][i]
        weight = ANY_NUMBER + _dogs(
            self.size - 1,
            self.log_det + log(along),
            self.squared - self.pull[i] ** 2 / along,
        )
        return Trial(Kind.UNKNOWN, (field,), (), _LOG_PRIORS[Kind.UNKNOWN] + weight)

    def other_size(self) -> Trial:
        """Weigh lengths that are true beside a weight or breed that is not."""
        squared = self.squared - _OTHER_SIZE * self.growth_pull**2 / self.grown
        weight = _dogs(self.size, self.log_det + log(self.grown), max(0.0, squared))
        return Trial(Kind.SIZE, (), (), _LOG_PRIORS[Kind.SIZE] + weight)
