"""What finished orders have taught: how far the middle of each usual length may be off."""

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


@dataclass(frozen=True, slots=True)
class Offset:
    """How far a usual length is off: a normal of the natural log, mean and variance."""

    mean: float
    variance: float


@dataclass(frozen=True, slots=True)
class Prior:
    """The offsets by measurement and head type."""

    offsets: Mapping[tuple[Field, HeadType], Offset]

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
