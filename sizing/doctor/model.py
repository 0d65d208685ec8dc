"""The doctor's picture of a dog: its lengths as a normal distribution of natural logs.

    ln length = ln middle(head type) + growth x size + stoutness + lengthiness + own + tape

Size is ln of the weight in kg, growth about 1/3. Neck and face girth share the stoutness, nape
and collar the lengthiness; all share the size. So the four lengths vouch for one another, and
ratios catch what single ranges cannot.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import exp, log
from typing import Final

from sizing.breeds import Breed, Stated
from sizing.doctor import spreads
from sizing.doctor.normal import cholesky, inverse, log_determinant
from sizing.doctor.prior import PUBLISHED, Prior
from sizing.doctor.standard import middle, stated
from sizing.dogs import Dog, Field, HeadType
from sizing.profile import HEAVIEST, LIGHTEST, profile_of
from sizing.units import MM_PER_CM

GIRTHS: Final = frozenset({Field.NECK_GIRTH, Field.FACE_GIRTH})
FIELDS: Final = tuple(Field)
_EXPONENTS: Final = {field: fact.value for field, fact in spreads.EXPONENTS.items()}
_LOG_PIVOT: Final = log(spreads.PIVOT.value)
_USUAL: Final = {
    field: {
        head: log(fact.value * spreads.PIVOT.value ** (1 / 3) * MM_PER_CM.value)
        for head, fact in heads.items()
    }
    for field, heads in spreads.MIDDLES.items()
}
"""ln mm of the usual length of a dog of the pivot's weight, for each head type."""
_OWN: Final = {field: fact.value**2 for field, fact in spreads.OWN.items()}
_TAPE: Final = spreads.TAPE_SHARE.value**2
_STOUT: Final = spreads.STOUT.value**2
_LENGTHY: Final = spreads.LENGTHY.value**2
_HEAD_UNKNOWN: Final = spreads.HEAD_UNKNOWN.value**2


@dataclass(frozen=True, slots=True)
class Size:
    """What is known of ln W, W in kg.

    Attributes:
        mean: the mean of ln W.
        variance: its variance.
        told: what tells it, `weight` or `breed`, or None.
        basis: the same in words.
    """

    mean: float
    variance: float
    told: str | None
    basis: str


@dataclass(frozen=True, slots=True)
class Subject:
    """A dog as far as the model tells dogs apart.

    Attributes:
        size: what is known of its size.
        head: the head type taken.
        head_known: whether order or breed tell the head type.
        breed: the breed's row, or None.
        called: what to call such a dog, with its article.
    """

    size: Size
    head: HeadType
    head_known: bool
    breed: Breed | None
    called: str


@dataclass(frozen=True, slots=True)
class Picture:
    """The distribution of the natural logs of those lengths in mm that are given.

    Attributes:
        fields: the measurements, in the order of the vectors.
        mean: the mean of each.
        growth: by how much each grows with size.
        covariance: the covariance matrix, tape error included.
        precision: its inverse.
        log_det: the log of its determinant.
        size: what is known of the dog's size.
        basis: what it rests on, in words.
    """

    fields: tuple[Field, ...]
    mean: tuple[float, ...]
    growth: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    precision: tuple[tuple[float, ...], ...]
    log_det: float
    size: Size
    basis: str


def with_article(name: str) -> str:
    """Return a name with its article: `a Beagle`, `an Akita`, `a Eurasier`."""
    spoken_as_vowel = name.lower().startswith(("a", "e", "i", "o")) and not name.startswith("Eu")
    return f"{'an' if spoken_as_vowel else 'a'} {name}"


def _size_of_breed(breed: Breed) -> Size:
    low, high = breed.weight_kg[0] * LIGHTEST.value, breed.weight_kg[1] * HEAVIEST.value
    variance = (log(high / low) / spreads.BREED_SPAN_SD.value) ** 2
    if breed.stated in {Stated.ONE, Stated.LEAST}:
        variance += spreads.NOT_A_RANGE.value**2
    return Size((log(low) + log(high)) / 2, variance, "breed", f"the weights of the {breed.name}")


def size_of(weight_kg: float | None, breed: Breed | None) -> Size:
    """Return what is known of a dog's size: from its weight, else its breed, else of any dog."""
    if weight_kg is not None:
        basis = f"the weight of {weight_kg:.3g} kg"
        return Size(log(weight_kg), spreads.WEIGHED.value**2, "weight", basis)
    if breed:
        return _size_of_breed(breed)
    any_dog, spread = spreads.ANY_DOG.value, spreads.ANY_DOG_SD.value
    return Size(log(any_dog), spread**2, None, "dogs of every size")


def subject_of(dog: Dog) -> Subject:
    """Return a dog as the model sees it."""
    profile = profile_of(dog)
    breed = profile.breed
    known = dog.head is not None or breed is not None
    called = with_article(profile.name)
    return Subject(size_of(dog.weight_kg, breed), profile.head, known, breed, called)


def _middle(
    field: Field, subject: Subject, offset: float, figures: Mapping[Field, float]
) -> float:
    """Return the mean of ln mm of one length; the offset is of a length without a figure."""
    growth = _EXPONENTS[field]
    figure = figures.get(field)
    if figure is not None and subject.breed:
        # A standard speaks of a dog of its own middle weight.
        return figure + growth * (subject.size.mean - log(middle(subject.breed.weight_kg)))
    return _USUAL[field][subject.head] + offset + growth * (subject.size.mean - _LOG_PIVOT)


def _own_variance(field: Field, mean: float, offset: float) -> float:
    """Return the variance that a length shares with no other: own, its middle's, the tape's."""
    place = spreads.TAPE_PLACE.value / exp(mean)
    return _OWN[field] + offset + _TAPE + place**2


def _shared(fields: Sequence[Field], subject: Subject) -> list[list[float]]:
    """Return the covariances of lengths by size, stoutness and lengthiness."""
    variance = subject.size.variance
    head = 0 if subject.head_known else _HEAD_UNKNOWN
    found = [[0.0] * len(fields) for _ in fields]
    for i, one in enumerate(fields):
        for j, other in enumerate(fields[: i + 1]):
            total = _EXPONENTS[one] * _EXPONENTS[other] * variance
            if one in GIRTHS and other in GIRTHS:
                total += _STOUT
                total += head
            if one not in GIRTHS and other not in GIRTHS:
                total += _LENGTHY
            found[i][j] = found[j][i] = total
    return found


def _basis(subject: Subject, figures: Mapping[Field, float]) -> str:
    head = f"{subject.head} head" if subject.head_known else "an unknown head type"
    said = f"{subject.size.basis} and {head}"
    if figures and subject.breed:
        said += f"; {subject.breed.facts_cite}"
    return f"{said}; middles and spreads of girths rest on five or six breeds, thin"


def picture(subject: Subject, given: Iterable[Field], prior: Prior = PUBLISHED) -> Picture:
    """Return the distribution of the given lengths of a dog."""
    chosen = set(given)
    fields = tuple([field for field in FIELDS if field in chosen])
    figures = {f: mm for f, mm in stated(subject.breed).items() if f in chosen}
    # Where a standard speaks, what finished orders taught of the head type does not.
    offsets = [(PUBLISHED if f in figures else prior).of(f, subject.head) for f in fields]
    mean = tuple(
        [
            _middle(field, subject, offset.mean, figures)
            for field, offset in zip(fields, offsets, strict=True)
        ]
    )
    covariance = _shared(fields, subject)
    for place, field in enumerate(fields):
        own = _own_variance(field, mean[place], offsets[place].variance)
        covariance[place][place] += own
    breadth = prior.breadth
    covariance = [[breadth * one for one in row] for row in covariance]
    lower = cholesky(covariance)
    return Picture(
        fields=fields,
        mean=mean,
        growth=tuple([_EXPONENTS[field] for field in fields]),
        covariance=tuple([tuple(row) for row in covariance]),
        precision=inverse(lower),
        log_det=log_determinant(lower),
        size=subject.size,
        basis=_basis(subject, figures),
    )
