"""Which lengths would be usual for a dog.

No table of neck or face girth by breed is published. Girths follow weight by geometric
similarity, one constant for each head type (Casinos et al. 1986, J Morphol: bones of 108
dogs agree with geometric similarity; Lumer 1940, Am Nat 74: one constant for each head
type). The bands are wide on purpose: their basis is five or six breeds.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, log
from statistics import median
from typing import Final

from sizing.dogs import Field, HeadType
from sizing.evidence import Fact, Origin, derived
from sizing.profile import Profile
from sizing.units import HEAVIEST, LIGHTEST, MM_PER_CM


@dataclass(frozen=True, slots=True)
class Span:
    """A usual span in mm, with what it rests on."""

    low: float
    high: float
    basis: str

    @property
    def centre(self) -> float:
        """Return the middle of the span, as a ratio scale has it."""
        return exp((log(self.low) + log(self.high)) / 2)

    def holds(self, mm: float) -> bool:
        """Return whether a length lies in the span."""
        return self.low <= mm <= self.high

    def distance(self, mm: float) -> float:
        """Return how far a length is from the centre: 1 is the edge of the span."""
        return abs(log(mm / self.centre)) / (log(self.high / self.low) / 2)


_GIRTH_BASIS = derived(
    "provisional: 10 to 20 W^(1/3) brackets the few published girths (FCI-Standards 116, 249, 263,"
    " 298; Tepeli and Cetin 2003); divided by head type by judgement, toys widened from memory"
)
_LENGTH_BASIS = derived(
    "provisional: head length 7.6 to 9.0 W^(1/3), neck 0.65 to 1.05 of the head (FCI standards);"
    " a collar covers a third of the neck to all of it"
)
_NAPE_BASIS = derived(
    "provisional: half a head length 7.6 to 9.0 W^(1/3) (FCI standards), widened by half because"
    " no nape length is published; 4 1/2 in beside a 14 in neck is common practice, no source"
)


def _band(low: float, high: float, origin: Origin) -> tuple[Fact, Fact]:
    return Fact(low, "cm per kg^(1/3)", origin), Fact(high, "cm per kg^(1/3)", origin)


NECK_GIRTH: Final = {
    HeadType.LONG: _band(11.0, 17.0, _GIRTH_BASIS),
    HeadType.MEDIUM: _band(11.5, 19.0, _GIRTH_BASIS),
    HeadType.SHORT: _band(13.0, 21.0, _GIRTH_BASIS),
    HeadType.MASTIFF: _band(13.5, 20.0, _GIRTH_BASIS),
}
FACE_GIRTH: Final = {
    HeadType.LONG: _band(10.5, 17.0, _GIRTH_BASIS),
    HeadType.MEDIUM: _band(11.5, 19.0, _GIRTH_BASIS),
    HeadType.SHORT: _band(13.0, 21.0, _GIRTH_BASIS),
    HeadType.MASTIFF: _band(14.0, 20.5, _GIRTH_BASIS),
}
NECK_LENGTH: Final = {head: _band(1.7, 9.5, _LENGTH_BASIS) for head in HeadType}
NAPE_LENGTH: Final = {head: _band(2.6, 7.5, _NAPE_BASIS) for head in HeadType}
BANDS: Final = {
    Field.NECK_GIRTH: NECK_GIRTH,
    Field.FACE_GIRTH: FACE_GIRTH,
    Field.NECK_LENGTH: NECK_LENGTH,
    Field.NAPE_LENGTH: NAPE_LENGTH,
}
WITHIN_BREED: Final = Fact(
    0.25,
    "of the standard's figure",
    derived(
        "within-breed SD of 6 to 11 percent of the mean (Urosevic et al. 2020; others): 2.5 SD"
    ),
)
COLLAR_LEAST: Final = Fact(
    1 / 3, "of the neck length", derived("judgement: a collar covers a third of the neck at least")
)
OWN_SIZE_SLACK: Final = Fact(
    1.15, "factor", derived("judgement: a size read off the dog's own numbers is one more guess")
)


def _by_weight(profile: Profile, field: Field, low_kg: float, high_kg: float) -> Span:
    low, high = BANDS[field][profile.head]
    return Span(
        low.value * low_kg ** (1 / 3) * MM_PER_CM.value,
        high.value * high_kg ** (1 / 3) * MM_PER_CM.value,
        f"from weight, {profile.head} head; {low.origin}",
    )


def _of_standard(profile: Profile, field: Field) -> Span | None:
    """Return the span of an absolute figure or a proportion in the breed's standard."""
    breed = profile.breed
    if breed is None:
        return None
    slack = WITHIN_BREED.value
    stated = {Field.NECK_GIRTH: breed.neck_girth_cm, Field.FACE_GIRTH: breed.head_girth_cm}
    figures = stated.get(field)
    if figures:
        low, high = (value * MM_PER_CM.value for value in figures)
        return Span(low * (1 - slack), high * (1 + slack), f"published: {breed.facts_cite}")
    if field is not Field.NECK_LENGTH:
        return None
    neck = breed.neck_length_cm or _neck_by_proportion(profile)
    if not neck:
        return None
    low, high = (value * MM_PER_CM.value for value in neck)
    basis = f"published: {breed.facts_cite}; a collar may cover a third of it"
    return Span(low * COLLAR_LEAST.value * (1 - slack), high * (1 + slack), basis)


def _neck_by_proportion(profile: Profile) -> tuple[float, float] | None:
    """Return the neck length in cm from height, head and neck proportions of the standard."""
    breed = profile.breed
    if not (
        breed and breed.height_cm and breed.head_length_of_height and breed.neck_of_head_length
    ):
        return None
    low, high = (
        height * head * neck
        for height, head, neck in zip(
            breed.height_cm, breed.head_length_of_height, breed.neck_of_head_length, strict=True
        )
    )
    return low, high


def size_of(profile: Profile, given: Mapping[Field, float]) -> float:
    """Return W^(1/3), in kg^(1/3), that the dog's own numbers point to.

    It is their median, kept to sizes that a dog can have.
    """
    sizes: list[float] = []
    for field, mm in given.items():
        low, high = BANDS[field][profile.head]
        middle = (low.value * high.value) ** 0.5
        sizes.append(mm / MM_PER_CM.value / middle)
    least, most = (weight.value ** (1 / 3) for weight in (LIGHTEST, HEAVIEST))
    return float(min(max(median(sizes), least), most))


def usual(profile: Profile, field: Field, given: Mapping[Field, float]) -> Span:
    """Return the usual span of one measurement.

    From the breed's standard where it gives a figure, else from the weight, else from the
    proportions of the dog's own numbers, as many as are given (at least one).
    """
    stated = _of_standard(profile, field)
    if stated:
        return stated
    if profile.weight:
        return _by_weight(profile, field, profile.weight.low, profile.weight.high)
    size = size_of(profile, given)
    slack = OWN_SIZE_SLACK.value
    span = _by_weight(profile, field, (size / slack) ** 3, (size * slack) ** 3)
    return Span(span.low, span.high, f"from the dog's own numbers; {span.basis}")
