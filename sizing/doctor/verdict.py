"""From probabilities to what is asked: severity, the fields to look at, their usual lengths."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, log
from typing import Final

from sizing.doctor import spreads
from sizing.doctor.findings import OF_ALL, Explanation, Kind, Severity
from sizing.doctor.model import Picture
from sizing.doctor.normal import dot
from sizing.doctor.scale import Scale, residual
from sizing.doctor.slips import LONGEST_WRITTEN, SHORTEST_WRITTEN
from sizing.doctor.weigh import Doubt, Weighed
from sizing.dogs import Field
from sizing.evidence import Fact, derived
from sizing.units import HEAVIEST, LIGHTEST

_CALIBRATED = "set by the benchmark in docs/doctor.md"

QUERY_BELOW: Final = Fact(
    0.81,
    "probability that all is true",
    derived(
        f"{_CALIBRATED}: of the dogs of its own picture 2 percent at most are asked after,"
        " whatever is told of them, and of those that spread 1.3 times as widely 2.3"
    ),
)
STOP_BELOW: Final = Fact(
    0.1,
    "probability that all is true",
    derived(f"{_CALIBRATED}: under 0.2 percent of true dogs are stopped"),
)
STOP_DISTANCE: Final = Fact(
    4.2,
    "spreads from the usual, all fields together",
    derived(
        f"{_CALIBRATED}; nearer than that a number is rare but possible, and only asked after"
    ),
)
FAR: Final = Fact(
    7.0,
    "spreads from the usual, all fields together",
    derived(
        "of rare dogs, with 1.6 times the spread, 0.08 percent lie beyond (chi squared of four):"
        " what lies there has more slips than are weighed together"
    ),
)
NO_DOG: Final = Fact(
    2,
    "times the heaviest weight, or the least by it",
    derived("judgement: a broad head is that of a medium one of 1.4 times the weight, a stout as"),
)
ALSO_BLAMED: Final = Fact(
    0.25, "of the probability that something is wrong", derived("judgement: one chance in four")
)
RUNNER_UP: Final = Fact(
    0.25, "of the first explanation's probability", derived("judgement: worth a second question")
)
BAND: Final = Fact(1.96, "spreads each way", derived("95 percent of a normal distribution"))


@dataclass(frozen=True, slots=True)
class Usual:
    """The usual length of one field in mm beside the others, and where 95 % of dogs lie."""

    low: float
    middle: float
    high: float


def of_no_dog(kg: float) -> bool:
    """Return whether lengths that point to that weight in kg are those of no dog at all."""
    return not LIGHTEST.value / NO_DOG.value <= kg <= HEAVIEST.value * NO_DOG.value


def severity_of(doubt: Doubt, likely_kg: float) -> Severity | None:
    """Return how much the numbers weigh: stop, query, or None where nothing is asked.

    Args:
        doubt: what weighing them told.
        likely_kg: the weight that the lengths point to.
    """
    unlikely = doubt.smooth < STOP_BELOW.value and doubt.distance > STOP_DISTANCE.value
    if unlikely or doubt.distance > FAR.value or of_no_dog(likely_kg):
        return Severity.STOP
    return Severity.QUERY if doubt.marked < QUERY_BELOW.value else None


def usual(
    shape: Picture, lengths: Mapping[Field, float], field: Field, explanation: Explanation
) -> Usual:
    """Return what is usual for a field given the others as the explanation corrects them."""
    corrected = {**lengths, **dict(explanation.meant)}
    off = residual(shape, corrected)
    place = shape.fields.index(field)
    row = shape.precision[place]
    middle = log(corrected[field]) - dot(row, off) / row[place]
    spread = BAND.value / row[place] ** (1 / 2)
    return Usual(exp(middle - spread), exp(middle), exp(middle + spread))


def suggestion(explanation: Explanation, field: Field) -> float | None:
    """Return what was meant for a field in mm, or None where that is no length one writes."""
    meant = explanation.suggested(field)
    if meant is None or not SHORTEST_WRITTEN.value <= meant <= LONGEST_WRITTEN.value:
        return None
    return meant


def likely_weight(scale: Scale) -> float:
    """Return the weight in kg that the lengths point to where the told one is not trusted."""
    size = scale.shape.size
    more = spreads.OTHER_SIZE.value**2
    return exp(size.mean + (more + size.variance) * scale.growth_pull / scale.grown)


def leading(weighed: Weighed) -> Explanation:
    """Return the likeliest explanation by which something is wrong."""
    return next(one for one in weighed.explanations if one.kind is not Kind.TRUE)


def _least_blamed(weighed: Weighed) -> float:
    wrong = [one.probability for one in weighed.explanations if one.kind is not Kind.TRUE]
    return ALSO_BLAMED.value * sum(wrong)


def also_blamed(weighed: Weighed, lead: Explanation) -> dict[Field, Explanation]:
    """Return the other fields that may well be the wrong ones, each with its best reason."""
    apart = [one for one in weighed.explanations if one.kind not in {Kind.TRUE, *OF_ALL}]
    least = _least_blamed(weighed)
    found: dict[Field, Explanation] = {}
    for field in Field:
        of_field = [one for one in apart if field in one.fields]
        if field not in lead.fields and sum(one.probability for one in of_field) >= least:
            found[field] = of_field[0]
    return found


def all_blamed(weighed: Weighed) -> Explanation | None:
    """Return an explanation of all numbers at once that may well be the right one, or None."""
    least = _least_blamed(weighed)
    likely = (one for one in weighed.explanations if one.probability >= least)
    return next((one for one in likely if one.kind in OF_ALL), None)


def runner_up(weighed: Weighed, first: Explanation) -> Explanation | None:
    """Return another explanation of the same field that is not far behind, or None."""
    for one in weighed.explanations:
        if one.fields == first.fields and one.kind not in {first.kind, Kind.UNKNOWN}:
            near = one.probability >= RUNNER_UP.value * first.probability
            return one if near and one.fields else None
    return None
