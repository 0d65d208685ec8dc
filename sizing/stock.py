"""The range of dogs that stock sizes are made for, and the sizes that fit them."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import exp, sqrt
from typing import Final

from sizing.doctor.model import picture, subject_of
from sizing.dogs import Dog, Field, HeadType, Measurements, Risk
from sizing.evidence import Fact, derived
from sizing.fit import Dimensions, reduction, target
from sizing.gauge import Swatch, gauge_for
from sizing.machine import replay
from sizing.material import YarnNeed, yarn_need
from sizing.pieces import pieces_of
from sizing.rowplan import RowPlan
from sizing.rows import Pattern
from sizing.search import choose
from sizing.shape import finished
from sizing.sizes import Bands, Engine, Gentle, SizeTable, size_table
from sizing.stretch import stretch_of
from sizing.wearing import LOOSE_NAPE, LOOSE_OPENING, TIGHT_NAPE, TIGHT_OPENING, collar_band
from sizing.yarns import Yarn

LIGHTEST: Final = Fact(2.0, "kg", derived("the smallest toy breeds of the breed table"))
HEAVIEST: Final = Fact(80.0, "kg", derived("the largest mastiffs, without the few above"))
STEP: Final = Fact(
    1.12,
    "times the weight before",
    derived("girths grow as the cube root: 1.12 ^ (1/3) is under 4 percent, within each band"),
)


_ANY: Final[frozenset[Risk]] = frozenset()
_SHORT: Final = frozenset({Risk.SHORT_NOSED})


@dataclass(frozen=True, slots=True)
class StockDog:
    """A dog of the range: its weight in kg, its head type, and the lengths of the usual one."""

    weight_kg: float
    head: HeadType
    body: Measurements


@dataclass(frozen=True, slots=True)
class Stock:
    """Stock sizes, and the dogs that their places speak of.

    Attributes:
        dogs: the range.
        table: the sizes.
        limit: the most that the rib stretches in comfort: a size goes over heads of up to its
            girth x (1 + limit), and must be tried on the others.
    """

    dogs: tuple[StockDog, ...]
    table: SizeTable
    limit: float


def usual_dog(weight_kg: float, head: HeadType) -> StockDog:
    """Return a dog with the middle of what is published for its weight and head type."""
    usual = picture(subject_of(Dog(None, weight_kg, head)), Field)
    lengths = {f.value: exp(mean) for f, mean in zip(usual.fields, usual.mean, strict=True)}
    return StockDog(weight_kg, head, Measurements(**lengths))


def kilos() -> tuple[float, ...]:
    """Return the weights of the range, each a step above the one before."""
    found, weight = [], LIGHTEST.value
    while weight < HEAVIEST.value * sqrt(STEP.value):
        found.append(weight)
        weight *= STEP.value
    return tuple(found)


def stock_of(
    yarn: Yarn, swatch: Swatch | None = None, heads: Iterable[HeadType] = HeadType
) -> Stock:
    """Return the fewest hoods found that fit the whole range in a yarn.

    Args:
        yarn: of all sizes.
        swatch: its gauge and stretch; None for the weight class's and the fibres'.
        heads: the head types of the range.
    """
    gauge = gauge_for(yarn, swatch)
    stretch = stretch_of(yarn, swatch.stretch if swatch else None)
    bands = Bands(
        collar_band(stretch, _ANY),
        (LOOSE_NAPE.value, TIGHT_NAPE.value),
        (LOOSE_OPENING.value, TIGHT_OPENING.value),
    )

    def engine_of(risks: frozenset[Risk]) -> Engine:
        less = reduction(stretch, risks)

        def engine(body: Measurements) -> tuple[RowPlan, Dimensions]:
            # Without one dog's neck: a stock collar is not fitted to it.
            rows = choose(target(body, less), gauge)
            return rows, finished(rows, gauge)

        return engine

    dogs = tuple(usual_dog(weight, head) for head in heads for weight in kilos())
    short = frozenset(place for place, dog in enumerate(dogs) if dog.head is HeadType.SHORT)
    gentle = Gentle(short, engine_of(_SHORT), collar_band(stretch, _SHORT)) if short else None
    table = size_table([dog.body for dog in dogs], engine_of(_ANY), bands, gentle)
    return Stock(dogs, table, stretch.limit)


def need_of(pattern: Pattern, yarn: Yarn, swatch: Swatch | None = None) -> YarnNeed:
    """Return the yarn of a stock size."""
    gauge = gauge_for(yarn, swatch)
    return yarn_need(replay(pattern), yarn, gauge, swatch, pieces=pieces_of(pattern))
