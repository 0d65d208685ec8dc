"""What the doctor reports: findings on fields, explanations of the whole."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final, NamedTuple

from sizing.dogs import Field


class Severity(StrEnum):
    """How much a finding weighs: a stop blocks the plan until corrected or accepted."""

    NOTE = "note"
    QUERY = "query"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Finding:
    """What is odd about one field, what would be usual, and what was probably meant.

    Attributes:
        field: the field's name on the wire (`weight` and `breed` among them).
        severity: note, query or stop.
        message: a sentence for the maker.
        expected_low_mm, expected_high_mm: the usual span, or None for a field with no length.
        suggestion_mm: the value probably meant, or None.
        suggestion: the same as text in the order's unit, or None.
        basis: where the span comes from.
    """

    field: str
    severity: Severity
    message: str
    expected_low_mm: float | None
    expected_high_mm: float | None
    suggestion_mm: float | None
    suggestion: str | None
    basis: str


class Kind(StrEnum):
    """What may have happened between the dog and the order."""

    TRUE = "all true"
    INCHES = "inches written as centimetres"
    CENTIMETRES = "centimetres written as inches"
    ALL_INCHES = "all inches written as centimetres"
    ALL_CENTIMETRES = "all centimetres written as inches"
    TEN_TIMES_LESS = "decimal point one place to the left"
    TEN_TIMES_MORE = "decimal point one place to the right"
    DIGITS = "two digits swapped"
    SWAPPED = "two measurements swapped"
    HALF = "girth written as the flat half"
    MUZZLE = "face girth taken round the muzzle"
    SHOULDER = "neck girth taken at the shoulder"
    NAPE_INCLUDED = "neck length taken with the nape"
    UNKNOWN = "a slip of no known shape"
    SIZE = "weight or breed not this dog's"


OF_ALL: Final = frozenset({Kind.ALL_INCHES, Kind.ALL_CENTIMETRES})
"""What happens to every number of an order at once."""


class Explanation(NamedTuple):
    """One way in which the numbers may have come about.

    Attributes:
        kind: what happened.
        fields: the measurements that it makes wrong, none where all are true.
        meant: what was meant, in mm, for those fields; empty where only the tape can tell.
        probability: of this explanation, beside all others weighed.
    """

    kind: Kind
    fields: tuple[Field, ...]
    meant: tuple[tuple[Field, float], ...]
    probability: float

    def suggested(self, field: Field) -> float | None:
        """Return what was meant for a field in mm, or None where that cannot be told."""
        return dict(self.meant).get(field)


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What the doctor thinks of a dog's measurements.

    Attributes:
        explanations: every explanation weighed, likeliest first; their probabilities add
            up to 1.
        true_probability: that all the numbers are true.
        severity: query or stop, or None where nothing need be asked.
        findings: one for each field to look at, the worst first.
        sure: how sure, in words and percent.
        ask_owner: a message ready to send, or None where nothing need be asked.
    """

    explanations: tuple[Explanation, ...]
    true_probability: float
    severity: Severity | None
    findings: tuple[Finding, ...]
    sure: str
    ask_owner: str | None

    @property
    def slip(self) -> Explanation:
        """Return the likeliest explanation by which something is wrong."""
        return next(one for one in self.explanations if one.kind is not Kind.TRUE)
