"""A look at a dog's lengths: all explanations tried, and how much the numbers weigh."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from sizing.doctor.findings import Severity
from sizing.doctor.model import Subject, picture
from sizing.doctor.prior import Prior
from sizing.doctor.scale import Scale, Trial
from sizing.doctor.verdict import likely_weight, severity_of
from sizing.doctor.weigh import Doubt, tried
from sizing.dogs import Field
from sizing.units import LengthUnit

_RANKS: Final = (None, Severity.NOTE, Severity.QUERY, Severity.STOP)


@dataclass(frozen=True, slots=True)
class Look:
    """Lengths weighed once.

    Attributes:
        scale: the numbers as given.
        trials: the explanations, in no order but that all is true comes first.
        doubt: what the thresholds need.
        likely_kg: the weight that the lengths point to.
        severity: how much they weigh, or None where nothing need be asked.
    """

    scale: Scale
    trials: list[Trial]
    doubt: Doubt
    likely_kg: float
    severity: Severity | None


def _looked(
    subject: Subject, lengths: Mapping[Field, float], unit: LengthUnit, prior: Prior
) -> Look:
    scale = Scale(picture(subject, lengths, prior), lengths)
    trials, doubt = tried(scale, lengths, unit)
    likely = likely_weight(scale)
    return Look(scale, trials, doubt, likely, severity_of(doubt, likely))


def sterner(
    subject: Subject, lengths: Mapping[Field, float], unit: LengthUnit, prior: Prior, floor: Prior
) -> Look:
    """Look with what was learned; but a warning that the floor gives is never left out.

    Args as `sizing.doctor.examine.examine`'s.
    """
    learned = _looked(subject, lengths, unit, prior)
    if prior is floor:
        return learned
    least = _looked(subject, lengths, unit, floor)
    return max(learned, least, key=lambda one: _RANKS.index(one.severity))
