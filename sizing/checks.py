"""Findings on an order: what the measurement doctor says, and remarks on breed and weight."""

from collections.abc import Iterator, Mapping
from typing import Final

from sizing.doctor import Diagnosis, Finding, Severity, diagnose, findings_on
from sizing.doctor.learn import PUBLISHED, Prior
from sizing.doctor.model import with_article
from sizing.doctor.words import NAMES as OF_FOUR
from sizing.dogs import Dog, Field, Measurements
from sizing.evidence import shown
from sizing.further import NAMES as OF_FURTHER
from sizing.further import further_doubts
from sizing.profile import HEAVIEST, LIGHTEST, Profile, profile_of
from sizing.units import LengthUnit

__all__ = [
    "NAMES",
    "Diagnosis",
    "Finding",
    "Severity",
    "check",
    "check_given",
    "diagnosis_of",
    "findings_of",
]


NAMES: Final[dict[str, str]] = {
    **{field.value: name for field, name in OF_FOUR.items()},
    **OF_FURTHER,
}
"""Every measurement by its name on the wire, as people call it."""


def diagnosis_of(
    dog: Dog,
    given: Mapping[Field, float],
    unit: LengthUnit,
    name: str | None = None,
    prior: Prior = PUBLISHED,
) -> Diagnosis | None:
    """Return what the doctor makes of the lengths in mm, or None where there are none."""
    return diagnose(dog, given, unit, prior=prior, name=name) if given else None


def check(
    dog: Dog, measurements: Measurements, unit: LengthUnit, prior: Prior = PUBLISHED
) -> tuple[Finding, ...]:
    """Return the findings on a dog's measurements; `prior` is what finished hoods taught."""
    given = {field: measurements.of(field) for field in Field}
    found = findings_on(dog, given, unit, prior=prior)
    doubts = further_doubts(measurements.more, given, unit, found)
    return (*_with_remarks(dog, found), *(doubt.finding for doubt in doubts))


def check_given(dog: Dog, given: Mapping[Field, float], unit: LengthUnit) -> tuple[Finding, ...]:
    """Return the findings on those measurements in mm that are known by now."""
    return findings_of(dog, diagnosis_of(dog, given, unit))


def findings_of(dog: Dog, diagnosis: Diagnosis | None) -> tuple[Finding, ...]:
    """Return the findings of a diagnosis, and before them the remarks on breed and weight."""
    return _with_remarks(dog, diagnosis.findings if diagnosis else ())


def _with_remarks(dog: Dog, found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    named = {finding.field for finding in found}
    remarks = (remark for remark in _remarks(dog, profile_of(dog)) if remark.field not in named)
    return (*remarks, *found)


def _remark(field: str, severity: Severity, message: str, basis: str) -> Finding:
    return Finding(field, severity, message, None, None, None, None, basis)


def _remarks(dog: Dog, profile: Profile) -> Iterator[Finding]:
    """Yield findings on the breed and the weight that no length is needed for."""
    breed = profile.breed
    if dog.breed and breed is None:
        message = f"“{shown(dog.breed)}” is not in the breed table; sizes are checked without it."
        yield _remark("breed", Severity.NOTE, message, "the breed table")
    if dog.weight_kg is None:
        message = "With the dog's weight a wrong number is found more surely. Ask for it."
        yield _remark("weight", Severity.NOTE, message, "girths follow weight")
    elif breed:
        low, high = breed.weight_kg
        if not low * LIGHTEST.value <= dog.weight_kg <= high * HEAVIEST.value:
            message = (
                f"{dog.weight_kg:.3g} kg is far from the {low:g} to {high:g} kg of"
                f" {with_article(breed.name)}. Is the weight right, and the breed?"
            )
            yield _remark("weight", Severity.QUERY, message, f"{breed.cite}; {LIGHTEST.origin}")
