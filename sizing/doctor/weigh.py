"""Weighing the explanations of a dog's lengths against one another, by Bayes."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, log
from typing import Final

from sizing.doctor import spreads
from sizing.doctor.findings import Explanation, Kind
from sizing.doctor.model import Picture
from sizing.doctor.scale import Scale, Trial
from sizing.doctor.slips import PRIORS, slips
from sizing.dogs import Field
from sizing.units import LengthUnit

_CHANCES: Final = {kind: fact.value for kind, fact in PRIORS.items()}
_MUZZLE: Final = (log(spreads.MUZZLE.value), spreads.MUZZLE_SD.value**2)
_BASE_OF_NECK: Final = (log(spreads.BASE_OF_NECK.value), spreads.BASE_OF_NECK_SD.value**2)
# Named here: a member looked up through its class takes ten times as long.
_DIGITS: Final = Kind.DIGITS


@dataclass(frozen=True, slots=True)
class Doubt:
    """What the thresholds need.

    Attributes:
        distance: of the numbers as given from the usual, in spreads, all fields together.
        smooth: the probability that all is true, swapped digits and the way a number ends left
            aside: it falls steadily as a number moves away, so stops hang on it.
        marked: the same, but the way a number ends counts, for a slip and against it. What is
            asked hangs on it.
    """

    distance: float
    smooth: float
    marked: float


@dataclass(frozen=True, slots=True)
class Weighed:
    """The explanations with their probabilities, and what the thresholds need, as `Doubt`.

    Attributes:
        explanations: likeliest first, their probabilities adding up to 1.
    """

    explanations: tuple[Explanation, ...]
    distance: float
    smooth: float
    marked: float


def _wrong(scale: Scale, lengths: Mapping[Field, float], unit: LengthUnit) -> list[Trial]:
    """Return every explanation by which something is wrong."""
    trials = [scale.told(slip) for slip in slips(lengths, unit)]
    trials += [scale.unknown(field) for field in scale.shape.fields]
    if Field.FACE_GIRTH in lengths:
        trials.append(scale.elsewhere(Kind.MUZZLE, Field.FACE_GIRTH, *_MUZZLE))
    if Field.NECK_GIRTH in lengths:
        trials.append(scale.elsewhere(Kind.SHOULDER, Field.NECK_GIRTH, *_BASE_OF_NECK))
    if scale.shape.size.told and scale.size > 1:
        trials.append(scale.other_size())
    return trials


def _true(scale: Scale, wrong: list[Trial]) -> Trial:
    # Digits might be swapped in every field: else it would hang on the order's unit.
    chances = [_CHANCES[trial.kind] for trial in wrong if trial.kind is not _DIGITS]
    chance = 1 - sum([*chances, *scale.size * (_CHANCES[_DIGITS],)])
    return Trial(Kind.TRUE, (), (), log(chance) + scale.as_given())


def shares_of(logs: list[float]) -> list[float]:
    """Return weights given as logs as shares of their sum."""
    top = max(logs)
    weights = [exp(one - top) for one in logs]
    total = sum(weights)
    return [weight / total for weight in weights]


def tried(
    scale: Scale, lengths: Mapping[Field, float], unit: LengthUnit
) -> tuple[list[Trial], Doubt]:
    """Weigh the explanations of lengths in mm, written in an order of that unit.

    Returns:
        The explanations, that all is true first, and what the thresholds need.
    """
    wrong = _wrong(scale, lengths, unit)
    trials = [_true(scale, wrong), *wrong]
    steady = [(trial.log_weight, trial.marks) for trial in trials if trial.kind is not _DIGITS]
    smooth = shares_of([weight for weight, _ in steady])[0]
    marked = shares_of([weight + marks for weight, marks in steady])[0]
    return trials, Doubt(scale.squared ** (1 / 2), smooth, marked)


def explained(trials: list[Trial], doubt: Doubt, lengths: Mapping[Field, float]) -> Weighed:
    """Return trials of lengths in mm as explanations with their probabilities."""
    shares = shares_of([trial.log_weight + trial.marks for trial in trials])
    found = [
        Explanation(
            trial.kind,
            trial.fields or tuple([field for field, _ in trial.moves]),
            tuple([(field, lengths[field] * exp(move)) for field, move in trial.moves]),
            share,
        )
        for share, trial in zip(shares, trials, strict=True)
    ]
    found.sort(key=lambda one: -one.probability)
    return Weighed(tuple(found), doubt.distance, doubt.smooth, doubt.marked)


def weigh(shape: Picture, lengths: Mapping[Field, float], unit: LengthUnit) -> Weighed:
    """Weigh the explanations of lengths in mm, written in an order of that unit."""
    trials, doubt = tried(Scale(shape, lengths), lengths, unit)
    return explained(trials, doubt, lengths)
