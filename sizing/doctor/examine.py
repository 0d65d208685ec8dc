"""The whole examination: picture, weighing, verdict, words."""

from collections.abc import Mapping
from math import exp

from sizing.doctor import words
from sizing.doctor.findings import OF_ALL, Diagnosis, Explanation, Finding, Kind, Severity
from sizing.doctor.model import GIRTHS, Picture, Subject, picture, subject_of
from sizing.doctor.prior import PUBLISHED, Prior
from sizing.doctor.slips import SHORTEST_READ
from sizing.doctor.verdict import (
    all_blamed,
    also_blamed,
    leading,
    likely_weight,
    runner_up,
    severity_of,
    suggestion,
    usual,
)
from sizing.doctor.weigh import Weighed, weigh
from sizing.doctor.words import Speech
from sizing.dogs import Dog, Field
from sizing.errors import ValueOutOfRangeError
from sizing.units import LengthUnit, show_length

_RANKS = (None, Severity.NOTE, Severity.QUERY, Severity.STOP)


def _weighed(
    subject: Subject, lengths: Mapping[Field, float], unit: LengthUnit, prior: Prior
) -> tuple[Picture, Weighed, Severity | None]:
    shape = picture(subject, lengths, prior)
    weighed = weigh(shape, lengths, unit)
    likely = likely_weight(shape, lengths)
    return shape, weighed, severity_of(weighed, likely, subject.size.told)


def sterner(
    subject: Subject, lengths: Mapping[Field, float], unit: LengthUnit, prior: Prior, floor: Prior
) -> tuple[Picture, Weighed, Severity | None]:
    """Weigh with what was learned; but a warning that the floor gives is never left out.

    Args as `examine`'s. Returns the picture, the weighed explanations and the severity.
    """
    learned = _weighed(subject, lengths, unit, prior)
    if prior is floor:
        return learned
    least = _weighed(subject, lengths, unit, floor)
    return max(learned, least, key=lambda one: _RANKS.index(one[2]))


class _Report:
    """The findings of one examination, put together."""

    def __init__(
        self, shape: Picture, lengths: Mapping[Field, float], weighed: Weighed, speech: Speech
    ) -> None:
        self.shape = shape
        self.lengths = lengths
        self.weighed = weighed
        self.speech = speech
        self.lead = leading(weighed)

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
        likely, other = likely_weight(self.shape, self.lengths), all_blamed(self.weighed)
        weight = exp(self.shape.size.mean) if told == "weight" else None
        message = words.of_size(likely, weight, other, self.speech)
        return Finding(told, severity, message, None, None, None, None, f"from {self.shape.basis}")

    def findings(self, severity: Severity | None) -> tuple[Finding, ...]:
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
            return words.size_to_owner(likely_weight(self.shape, self.lengths), self.speech)
        # A girth, where there is one: what is usual for it is known best.
        field = next((one for one in lead.fields if one in GIRTHS), lead.fields[0])
        span = usual(self.shape, self.lengths, field, lead)
        if lead.kind in OF_ALL:
            return words.all_to_owner(lead.kind, span, field, self.speech)
        return words.to_owner(lead, field, self.lengths[field], span, self.speech)

    def sure(self, severity: Severity | None) -> str:
        """Return how sure the doctor is, of its explanation or of the numbers."""
        first = self.weighed.explanations[0]
        if severity is None or first.kind is Kind.TRUE:
            true = next(one for one in self.weighed.explanations if one.kind is Kind.TRUE)
            return f"that all is true is {words.how_sure(true.probability)}"
        return f"{self.lead.kind}: {words.how_sure(self.lead.probability)}"


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
    given = {field: lengths[field] for field in Field if field in lengths}
    if not given or min(given.values()) <= 0:
        raise ValueOutOfRangeError("measurements", "At least one length above zero is needed.")
    given = {field: max(mm, SHORTEST_READ.value) for field, mm in given.items()}
    shape, weighed, severity = sterner(subject, given, unit, prior, floor)
    of_breed = subject.breed is not None
    speech = Speech(subject.called, of_breed, name, unit, len(given) == 1)
    report = _Report(shape, given, weighed, speech)
    return Diagnosis(
        explanations=weighed.explanations,
        true_probability=next(
            one.probability for one in weighed.explanations if one.kind is Kind.TRUE
        ),
        severity=severity,
        findings=report.findings(severity),
        sure=report.sure(severity),
        ask_owner=report.message() if severity else None,
    )


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
