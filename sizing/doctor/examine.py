"""The whole examination: picture, weighing, verdict, words."""

from collections.abc import Mapping
from math import exp

from sizing.doctor import words
from sizing.doctor.findings import OF_ALL, Diagnosis, Explanation, Finding, Kind, Severity
from sizing.doctor.look import Look, sterner
from sizing.doctor.model import FIELDS, GIRTHS, Subject, subject_of
from sizing.doctor.prior import PUBLISHED, Prior
from sizing.doctor.slips import SHORTEST_READ
from sizing.doctor.verdict import (
    all_blamed,
    also_blamed,
    leading,
    of_no_dog,
    runner_up,
    suggestion,
    usual,
)
from sizing.doctor.weigh import explained
from sizing.doctor.words import Speech
from sizing.dogs import Dog, Field
from sizing.errors import ValueOutOfRangeError
from sizing.units import LengthUnit, show_length


class _Report:
    """The findings of one examination, put together."""

    def __init__(self, look: Look, lengths: Mapping[Field, float], speech: Speech) -> None:
        self.shape = look.scale.shape
        self.likely_kg = look.likely_kg
        self.severity = look.severity
        self.lengths = lengths
        self.weighed = explained(look.trials, look.doubt, lengths)
        self.speech = speech
        self.lead = leading(self.weighed)

    def finding(self, field: Field, explanation: Explanation, severity: Severity) -> Finding:
        """Return the finding on one field under one explanation."""
        speech, mm = self.speech, self.lengths[field]
        span = usual(self.shape, self.lengths, field, explanation)
        other = runner_up(self.weighed, explanation)
        reasons = (explanation, other) if other else (explanation,)
        meant = suggestion(explanation, field)
        beside = "" if speech.alone else "the dog's other lengths, "
        return Finding(
            field=field.value,
            severity=severity,
            message=words.to_maker(reasons, field, mm, span, speech),
            expected_low_mm=span.low,
            expected_high_mm=span.high,
            suggestion_mm=meant,
            suggestion=None if meant is None else show_length(meant, speech.unit),
            basis=f"from {beside}{self.shape.basis}",
        )

    def _of_size(self, severity: Severity) -> Finding:
        told = self.shape.size.told or "weight"
        weight = exp(self.shape.size.mean) if told == "weight" else None
        message = words.of_size(self.likely_kg, weight, all_blamed(self.weighed), self.speech)
        return Finding(told, severity, message, None, None, None, None, f"from {self.shape.basis}")

    def findings(self) -> tuple[Finding, ...]:
        """Return what to look at, the worst first."""
        severity = self.severity
        if severity is None:
            return ()
        found = [self.finding(field, self.lead, severity) for field in self.lead.fields]
        if self.lead.kind is Kind.SIZE:
            found.append(self._of_size(severity))
        for field, reason in also_blamed(self.weighed, self.lead).items():
            found.append(self.finding(field, reason, Severity.QUERY))
        return tuple(found)

    def message(self) -> str:
        """Return what to send to the owner."""
        lead = self.lead
        if lead.kind is Kind.SIZE:
            return words.size_to_owner(self.likely_kg, self.speech)
        # A girth, where there is one: what is usual for it is known best.
        field = next((one for one in lead.fields if one in GIRTHS), lead.fields[0])
        span = usual(self.shape, self.lengths, field, lead)
        if lead.kind in OF_ALL:
            return words.all_to_owner(lead.kind, span, field, self.speech)
        return words.to_owner(lead, field, self.lengths[field], span, self.speech)

    def sure(self) -> str:
        """Return how sure the doctor is, of its explanation or of the numbers."""
        first = self.weighed.explanations[0]
        if first.kind is Kind.TRUE and of_no_dog(self.likely_kg):
            return "no dog is of that size"
        if self.severity is None or first.kind is Kind.TRUE:
            true = next(one for one in self.weighed.explanations if one.kind is Kind.TRUE)
            return f"that all is true is {words.how_sure(true.probability)}"
        return f"{self.lead.kind}: {words.how_sure(self.lead.probability)}"


def _given(lengths: Mapping[Field, float]) -> dict[Field, float]:
    """Return the lengths in their order, none shorter than what is read."""
    given = {field: lengths[field] for field in FIELDS if field in lengths}
    if not given or min(given.values()) <= 0:
        raise ValueOutOfRangeError("measurements", "At least one length above zero is needed.")
    return {field: max(mm, SHORTEST_READ.value) for field, mm in given.items()}


def _report(
    look: Look,
    subject: Subject,
    given: Mapping[Field, float],
    unit: LengthUnit,
    name: str | None = None,
) -> _Report:
    of_breed = subject.breed is not None
    return _Report(look, given, Speech(subject.called, of_breed, name, unit, len(given) == 1))


def examine(
    subject: Subject,
    lengths: Mapping[Field, float],
    unit: LengthUnit,
    *,
    prior: Prior = PUBLISHED,
    floor: Prior = PUBLISHED,
    name: str | None = None,
) -> Diagnosis:
    """Return the diagnosis of lengths in mm of a dog as the model sees it.

    Args:
        subject: the dog.
        lengths: one to four lengths in mm.
        unit: the order's unit, in which the sentences speak.
        prior: what finished orders have taught.
        floor: the prior whose warnings are given whatever was learned.
        name: the dog's name, for the message to its owner.

    Raises:
        ValueOutOfRangeError: if no length is given, or one is not above zero.
    """
    given = _given(lengths)
    look = sterner(subject, given, unit, prior, floor)
    report = _report(look, subject, given, unit, name)
    explanations = report.weighed.explanations
    return Diagnosis(
        explanations=explanations,
        true_probability=next(one.probability for one in explanations if one.kind is Kind.TRUE),
        severity=look.severity,
        findings=report.findings(),
        sure=report.sure(),
        ask_owner=report.message() if look.severity else None,
    )


def findings_on(
    dog: Dog, lengths: Mapping[Field, float], unit: LengthUnit, *, prior: Prior = PUBLISHED
) -> tuple[Finding, ...]:
    """Return the findings of `diagnose` alone, which most dogs have none of.

    Where nothing need be asked, the explanations are not put in order nor into words: a plan needs
    none of that.

    Args and errors as `diagnose`.
    """
    subject, given = subject_of(dog), _given(lengths)
    look = sterner(subject, given, unit, prior, PUBLISHED)
    return _report(look, subject, given, unit).findings() if look.severity else ()


def diagnose(
    dog: Dog,
    lengths: Mapping[Field, float],
    unit: LengthUnit,
    *,
    prior: Prior = PUBLISHED,
    name: str | None = None,
) -> Diagnosis:
    """Return what is probably right and wrong with a dog's lengths.

    Args:
        dog: the dog as the order tells it.
        lengths: one to four lengths in mm.
        unit: the order's unit, in which the sentences speak.
        prior: what finished orders have taught.
        name: the dog's name, for the message to its owner.

    Raises:
        ValueOutOfRangeError: if no length is given, or one is not above zero.
    """
    return examine(subject_of(dog), lengths, unit, prior=prior, name=name)
