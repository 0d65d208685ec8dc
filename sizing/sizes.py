"""Stock sizes: a few hoods that fit a whole range of dogs.

A hood fits a dog when each zone's strain, body / finished - 1, lies in its comfort band. The
engine makes a hood for each dog of the range; the fewest of these hoods that fit all are
sought greedily, from the smallest dog up: of those that fit the smallest dog still without a
size, the one that fits most others is taken.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sizing.dogs import Field, Measurements
from sizing.errors import ValueOutOfRangeError
from sizing.fit import Dimensions
from sizing.rowplan import RowPlan


@dataclass(frozen=True, slots=True)
class Bands:
    """Comfort bands: the least and the most strain of each zone, as `sizing.wearing` has them."""

    collar: tuple[float, float]
    nape: tuple[float, float]
    opening: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Gentle:
    """The dogs of a range on whose necks less may press.

    Attributes:
        places: theirs in the range.
        engine: the one that plans their hoods.
        collar: the comfort band of their collar.
    """

    places: frozenset[int]
    engine: "Engine"
    collar: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Span:
    """The body lengths that one zone fits, in mm."""

    low: float
    high: float

    def holds(self, mm: float) -> bool:
        """Return whether a length lies within."""
        return self.low <= mm <= self.high


@dataclass(frozen=True, slots=True)
class StockSize:
    """One size of the sheet.

    Attributes:
        number: from 1, the smallest first.
        rows: its row plan.
        finished: its dimensions in mm.
        neck_girth, nape_length, face_girth: the dogs that it fits, in mm.
        made_for: the place in the range of the dog that it was made for.
        fits: the places of the dogs of the range that it fits.
        gentle_neck: the necks that it fits where less may press; None where no dog is such.
    """

    number: int
    rows: RowPlan
    finished: Dimensions
    neck_girth: Span
    nape_length: Span
    face_girth: Span
    made_for: int
    fits: tuple[int, ...]
    gentle_neck: Span | None = None


@dataclass(frozen=True, slots=True)
class SizeTable:
    """The stock sizes of a range, and the places of the dogs that none of them fits."""

    sizes: tuple[StockSize, ...]
    without: tuple[int, ...]


Engine = Callable[[Measurements], tuple[RowPlan, Dimensions]]
"""From a dog's lengths to its row plan and finished dimensions."""


def span_of(finished_mm: float, band: tuple[float, float]) -> Span:
    """Return the body lengths whose strain on a finished length lies in a band."""
    return Span(finished_mm * (1 + band[0]), finished_mm * (1 + band[1]))


def _spans(finished: Dimensions, bands: Bands) -> dict[Field, Span]:
    return {
        Field.NECK_GIRTH: span_of(finished.collar_girth, bands.collar),
        Field.NAPE_LENGTH: span_of(finished.nape, bands.nape),
        Field.FACE_GIRTH: span_of(finished.face_opening, bands.opening),
    }


def _fitted(
    spans: dict[Field, Span],
    dogs: Sequence[Measurements],
    gentle_neck: Span | None,
    gentle: frozenset[int],
) -> frozenset[int]:
    return frozenset(
        place
        for place, dog in enumerate(dogs)
        if all(span.holds(dog.of(field)) for field, span in spans.items())
        and (gentle_neck is None or place not in gentle or gentle_neck.holds(dog.neck_girth))
    )


def _chosen(fits: Sequence[frozenset[int]], by_size: Sequence[int]) -> list[int]:
    """Return the hoods that are taken, in order: places in the range."""
    left = set().union(*fits) if fits else set()
    taken: list[int] = []
    for dog in by_size:
        if dog in left:
            best = max(
                (hood for hood, fitted in enumerate(fits) if dog in fitted),
                key=lambda hood: (len(fits[hood] & left), -hood),
            )
            taken.append(best)
            left -= fits[best]
    return taken


def size_table(
    dogs: Sequence[Measurements], engine: Engine, bands: Bands, gentle: Gentle | None = None
) -> SizeTable:
    """Return stock sizes for a range of dogs.

    Args:
        dogs: the range, such as one dog for each weight and head type.
        engine: the one that plans ordered hoods too.
        bands: how tight and how loose each zone may be.
        gentle: the dogs on whose necks less may press, or None.

    Raises:
        ValueOutOfRangeError: if a band is none.
    """
    for low, high in (bands.collar, bands.nape, bands.opening):
        if not -1 < low <= high:
            raise ValueOutOfRangeError("bands", "A band goes from its low to its high strain.")
    tender = gentle.places if gentle else frozenset[int]()
    made = [
        gentle.engine(dog) if gentle and place in tender else engine(dog)
        for place, dog in enumerate(dogs)
    ]
    spans = [_spans(finished, bands) for _, finished in made]
    necks = [span_of(one.collar_girth, gentle.collar) if gentle else None for _, one in made]
    fits = [_fitted(span, dogs, neck, tender) for span, neck in zip(spans, necks, strict=True)]
    by_size = sorted(range(len(dogs)), key=lambda place: dogs[place].neck_girth)
    taken = sorted(_chosen(fits, by_size), key=lambda hood: made[hood][1].collar_girth)
    sizes = tuple(
        StockSize(
            number=number,
            rows=made[hood][0],
            finished=made[hood][1],
            neck_girth=spans[hood][Field.NECK_GIRTH],
            nape_length=spans[hood][Field.NAPE_LENGTH],
            face_girth=spans[hood][Field.FACE_GIRTH],
            made_for=hood,
            fits=tuple(sorted(fits[hood])),
            gentle_neck=necks[hood],
        )
        for number, hood in enumerate(taken, start=1)
    )
    fitted = frozenset().union(*(size.fits for size in sizes))
    return SizeTable(sizes, tuple(sorted(set(range(len(dogs))) - fitted)))
