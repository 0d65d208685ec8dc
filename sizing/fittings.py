"""What fittings teach: how tight a zone was worn and felt, and how the next hood is made.

Nothing is published on the ease of a dog's neck, so the maker's own fittings are the only
measure there is. Each is an observation of the stretch that feels right, in logs:

    felt good: as it was worn; tight: a step less; loose: a step more

They are weighed against the usual stretch by their errors (`sizing.shrink`). A dog's own
fittings count most, the others' tell how this maker's hoods are felt. What was felt tight may
loosen the next hood by much, what was felt loose tightens it by little.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sizing.errors import ValueOutOfRangeError
from sizing.evidence import Fact, derived
from sizing.fit import PLAIN_LESSONS, Lessons
from sizing.shrink import Belief, Observation, learned_among
from sizing.wearing import Zone

STEP: Final = Fact(
    0.08, "log of the stretch", derived("judgement: a third of the usual tug, 24 percent: felt")
)
FELT_SD: Final = Fact(
    0.06, "log of the stretch", derived("judgement: what one owner calls tight, another does not")
)
MAKER_SD: Final = Fact(
    0.05, "log of the stretch", derived("judgement: hands, yarns and what a maker calls good")
)
DOGS_APART: Final = Fact(
    0.05, "log of the stretch", derived("judgement: coat and skin of one dog against another's")
)
MOST_LOOSER: Final = Fact(
    0.20, "log of the stretch", derived("nearly all of the usual tug: then nothing is stretched")
)
MOST_TIGHTER: Final = Fact(
    0.04, "log of the stretch", derived("judgement, the gentle end: half a step and no more")
)


class Felt(StrEnum):
    """How a zone was felt on the dog."""

    TIGHT = "tight"
    GOOD = "good"
    LOOSE = "loose"


@dataclass(frozen=True, slots=True)
class Fitting:
    """One zone of one finished hood on its dog.

    Attributes:
        zone: which.
        ratio: body / finished length, as it was worn.
        usual: the ratio that would be aimed at before anything was learned.
        felt: how it was felt.
    """

    zone: Zone
    ratio: float
    usual: float
    felt: Felt

    def __post_init__(self) -> None:
        """Refuse what is no length on another."""
        if not (self.ratio > 0 and self.usual > 0):
            raise ValueOutOfRangeError("ratio", "A fitting compares two lengths above zero.")


def _observed(fitting: Fitting) -> Observation:
    step = {Felt.TIGHT: 1 / _grown(), Felt.GOOD: 1.0, Felt.LOOSE: _grown()}[fitting.felt]
    return Observation(fitting.usual, fitting.ratio * step, FELT_SD.value)


def _grown() -> float:
    return Belief(STEP.value).factor


def _factor(groups: Mapping[str, tuple[Observation, ...]], own: str) -> float:
    """Return the factor on body / finished that feels right, within its bounds."""
    if not any(groups.values()):
        return 1.0
    belief = learned_among(Belief(0.0, MAKER_SD.value), DOGS_APART.value, groups, own)
    bounded = min(max(belief.mean, -MOST_LOOSER.value), MOST_TIGHTER.value)
    return Belief(bounded).factor


def lessons_of(dogs: Mapping[str, tuple[Fitting, ...]], own: str) -> Lessons:
    """Return what fittings teach for one dog's next hood.

    Args:
        dogs: fittings by dog.
        own: the dog that the next hood is for; it may have none yet.
    """
    if not any(dogs.values()):
        return PLAIN_LESSONS
    factors = {
        zone: _factor(
            {
                dog: tuple(_observed(one) for one in fittings if one.zone is zone)
                for dog, fittings in dogs.items()
            },
            own,
        )
        for zone in Zone
    }
    return Lessons(factors[Zone.COLLAR], factors[Zone.NAPE], factors[Zone.OPENING])
