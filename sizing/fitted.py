"""How a planned hood is worn, and how sure that is."""

from dataclasses import dataclass

from sizing.cautions import Caution, cautions_of
from sizing.dogs import Dog, Measurements, Risk
from sizing.exactness import errors_of
from sizing.fit import Dimensions
from sizing.gauge import Gauge
from sizing.rowplan import RowPlan
from sizing.shape import nape_by_rows
from sizing.stretch import Stretch
from sizing.surety import Surety, surety_of
from sizing.units import LengthUnit
from sizing.variants.make import PLAIN, Make
from sizing.wearing import Passage, Worn, passage_of, zones_of


@dataclass(frozen=True, slots=True)
class Fit:
    """How the hood will be worn, and how sure that is.

    Attributes:
        stretch: what the rib gives, tested or by fibre.
        zones: collar, nape and opening as worn.
        passage: whether the collar goes over the head.
        surety: the probability that each zone lies within its band, and what to measure again.
        cautions: what the maker should know of it, in sentences.
    """

    stretch: Stretch
    zones: tuple[Worn, ...]
    passage: Passage
    surety: Surety
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class Wearer:
    """Who wears the hood: the dog, its lengths and its risks."""

    dog: Dog
    body: Measurements
    risks: frozenset[Risk]


def fit_of(
    wearer: Wearer,
    stretch: Stretch,
    rows: RowPlan,
    done: Dimensions,
    gauge: Gauge,
    unit: LengthUnit,
    *,
    make: Make = PLAIN,
) -> Fit:
    """Return how a hood of these rows is worn by the dog.

    Args:
        wearer: the dog.
        stretch: what the rib gives.
        rows: the row plan.
        done: the dimensions that it gives (`sizing.shape.finished`).
        gauge: of the hood.
        unit: of the lengths in the sentences.
        make: the variants; a collar that opens need not go over the head.
    """
    body, risks = wearer.body, wearer.risks
    zones = zones_of(body, done, stretch, risks, nape_by_rows(rows, gauge))
    errors = errors_of(
        wearer.dog,
        risks,
        stretch,
        tested=gauge.tested,
        head_measured=body.head_girth is not None,
    )
    opens, chewer = make.buttoned is not None, Risk.CHEWER in risks
    passage = passage_of(body, done, stretch, gauge, opens=opens, chewer=chewer)
    surety = surety_of(zones, stretch, risks, errors, passage)
    cautions = cautions_of(zones, passage, surety, stretch, risks, unit)
    return Fit(stretch, zones, passage, surety, cautions)
