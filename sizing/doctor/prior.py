"""What finished orders have taught: how far each usual length is off, how wide dogs spread."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from sizing.doctor.spreads import HEADS, MIDDLE_OWN
from sizing.dogs import Field, HeadType
from sizing.evidence import Fact, derived

LEAST_SPREAD: Final = Fact(
    0.02, "SD of the natural log", derived("judgement: a shop's dogs are not all dogs")
)
MOST_SHIFT: Final = Fact(
    2, "times the spread before any order", derived("the published middle is not given up lightly")
)
SPREAD_TRUST: Final = Fact(
    80,
    "lengths seen",
    derived("judgement: twenty dogs of four lengths move the spread half of the way they show"),
)
NARROWEST: Final = Fact(
    0.7,
    "times the published spread",
    derived("judgement: narrower than that is a shop that has seen one kind of dog"),
)
WIDEST: Final = Fact(
    1.4,
    "times the published spread",
    derived("judgement: wider than that is a shop whose numbers were not all true"),
)


@dataclass(frozen=True, slots=True)
class Offset:
    """How far a usual length is off: a normal of the natural log, mean and variance."""

    mean: float
    variance: float


@dataclass(frozen=True, slots=True)
class Prior:
    """The offsets by measurement and head type, and what was seen of the spread.

    Attributes:
        offsets: how far the middles are off.
        seen: how many lengths were seen.
        squared: the sum of their squared distances, in published spreads.
    """

    offsets: Mapping[tuple[Field, HeadType], Offset]
    seen: int = 0
    squared: float = 0.0

    @property
    def breadth(self) -> float:
        """Return what the published variances are multiplied by, within its bounds."""
        trust = SPREAD_TRUST.value
        factor = (trust + self.squared) / (trust + self.seen)
        return min(max(factor, NARROWEST.value**2), WIDEST.value**2)

    def of(self, field: Field, head: HeadType) -> Offset:
        """Return an offset within its bounds: the mean not too far, the spread not too small."""
        raw = self.offsets[field, head]
        most = MOST_SHIFT.value * MIDDLE_OWN[field].value
        mean = min(max(raw.mean, -most), most)
        return Offset(mean, max(raw.variance, LEAST_SPREAD.value**2))


PUBLISHED: Final = Prior(
    {(field, head): Offset(0, MIDDLE_OWN[field].value ** 2) for field in Field for head in HEADS}
)
"""Before any finished order: the published figures alone."""
