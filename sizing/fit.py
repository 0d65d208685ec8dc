"""How large the hood is made for a body: the target dimensions.

The collar is made shorter than the neck because back-loop rib stretches. The makers'
rule is in inches for one size of neck (a 14 in neck, an 11 in strip in stretchy acrylic);
it is kept here as a share of the girth, because the same inches off a toy dog's neck
would throttle it. Shares are for the fabric: springy fibres give, steady ones hardly do.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sizing.dogs import Measurements, Risk
from sizing.evidence import Fact, derived, practice
from sizing.stretch import SPRINGY_TUG, Stretch

SPRINGY_NAPE: Final = Fact(
    0.5 / 4.5,
    "share of the nape length",
    practice("a nape of 4 1/2 in stops near 4 in in acrylic"),
)
GENTLE: Final = Fact(
    0.5,
    "share of the usual reduction",
    derived(
        "judgement, no pressure limit is published: half. Bailey, Packer and Wills 2025, Vet Med"
        " Sci 11(3): a collar alone raised eye pressure in short-nosed dogs; Pauli et al. 2006,"
        " JAAHA 42:207-211: no neck pressure for dogs with weak eyes"
    ),
)
GENTLE_FOR: Final = frozenset({Risk.SHORT_NOSED, Risk.EYE_OR_THROAT})


@dataclass(frozen=True, slots=True)
class Dimensions:
    """Dimensions of a hood lying relaxed, in mm.

    Attributes:
        collar_girth: length of the collar strip before joining.
        collar_height: height of the collar.
        nape: along the centre back, from the collar to the crown.
        face_opening: all round the face; each front edge is half of it.
        crown: along the centre back and the seam, from the nape to the brow; None where
            it is not aimed at.
    """

    collar_girth: float
    collar_height: float
    nape: float
    face_opening: float
    crown: float | None = None


@dataclass(frozen=True, slots=True)
class Reduction:
    """By what share of the body the zones are made smaller; below 0 they are made larger."""

    collar: float
    nape: float
    opening: float = 0.0


@dataclass(frozen=True, slots=True)
class Lessons:
    """What fittings have taught: factors on body / finished, 1 for nothing; below 1 is looser."""

    collar: float = 1.0
    nape: float = 1.0
    opening: float = 1.0


PLAIN_LESSONS: Final = Lessons()
"""Before any fitting."""


class Taken(StrEnum):
    """How much of what fittings have taught a hood is made by."""

    LOOSER = "looser"
    ALL = "all"
    NONE = "none"


def taken_of(lessons: Lessons, taken: Taken) -> Lessons:
    """Return what is taken of lessons; what would tighten a hood is taken only by choice."""
    if taken is Taken.ALL:
        return lessons
    if taken is Taken.NONE:
        return PLAIN_LESSONS
    return Lessons(min(lessons.collar, 1.0), min(lessons.nape, 1.0), min(lessons.opening, 1.0))


def taught(less: Reduction, lessons: Lessons) -> Reduction:
    """Return reductions as fittings have taught: body / finished is multiplied by the factor."""
    if lessons == PLAIN_LESSONS:
        return less
    return Reduction(
        1 - (1 - less.collar) / lessons.collar,
        1 - (1 - less.nape) / lessons.nape,
        1 - (1 - less.opening) / lessons.opening,
    )


def reduction(stretch: Stretch, risks: frozenset[Risk]) -> Reduction:
    """Return the usual reductions for what a fabric gives and a dog's risks.

    The collar is made so that a light tug brings it to the neck, but never shorter than common
    practice makes it, however far a swatch can be tugged; a gentle fit takes half of that. The
    nape is made shorter in the same proportion as in common practice.
    """
    tug = min(stretch.tug, SPRINGY_TUG.value)
    collar = tug / (1 + tug)
    if risks & GENTLE_FOR:
        collar *= GENTLE.value
    practice_collar = SPRINGY_TUG.value / (1 + SPRINGY_TUG.value)
    return Reduction(collar, collar * SPRINGY_NAPE.value / practice_collar)


def target(measurements: Measurements, less: Reduction) -> Dimensions:
    """Return the dimensions to aim at; the crown only where it was measured."""
    return Dimensions(
        collar_girth=measurements.neck_girth * (1 - less.collar),
        collar_height=measurements.neck_length,
        nape=measurements.nape_length * (1 - less.nape),
        face_opening=measurements.face_girth * (1 - less.opening),
        crown=measurements.crown_length,
    )
