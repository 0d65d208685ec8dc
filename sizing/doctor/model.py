"""The doctor's picture of a dog: its lengths as a normal distribution of natural logs.

    ln length = ln middle(head type) + growth x size + stoutness + lengthiness + own + tape

Size is ln of the weight in kg, growth about 1/3. Neck and face girth share the stoutness, nape
and collar the lengthiness; all share the size. So the four lengths vouch for one another, and
ratios catch what single ranges cannot.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations_with_replacement
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


def _middle(field: Field, subject: Subject, prior: Prior, figures: Mapping[Field, float]) -> float:
    """Return the mean of ln mm of one length."""
    growth = spreads.EXPONENTS[field].value
    figure = figures.get(field)
    if figure is not None and subject.breed:
        # A standard speaks of a dog of its own middle weight.
        return figure + growth * (subject.size.mean - log(middle(subject.breed.weight_kg)))
    pivot = spreads.PIVOT.value
    usual = spreads.MIDDLES[field][subject.head].value * pivot ** (1 / 3) * MM_PER_CM.value
    offset = prior.of(field, subject.head).mean
    return log(usual) + offset + growth * (subject.size.mean - log(pivot))


def _own_variance(field: Field, mean: float, offset: float) -> float:
    """Return the variance that a length shares with no other: own, its middle's, the tape's."""
    place = spreads.TAPE_PLACE.value / exp(mean)
    return float(spreads.OWN[field].value ** 2 + offset + spreads.TAPE_SHARE.value**2 + place**2)


def _shared(one: Field, other: Field, subject: Subject) -> float:
    """Return the covariance of two lengths by size, stoutness and lengthiness."""
    growth = spreads.EXPONENTS[one].value * spreads.EXPONENTS[other].value
    total = growth * subject.size.variance
    if one in GIRTHS and other in GIRTHS:
        total += spreads.STOUT.value**2
        total += 0 if subject.head_known else spreads.HEAD_UNKNOWN.value**2
    if one not in GIRTHS and other not in GIRTHS:
        total += spreads.LENGTHY.value**2
    return total


def _basis(subject: Subject, figures: Mapping[Field, float]) -> str:
    head = f"{subject.head} head" if subject.head_known else "an unknown head type"
    said = f"{subject.size.basis} and {head}"
    if figures and subject.breed:
        said += f"; {subject.breed.facts_cite}"
    return f"{said}; middles and spreads of girths rest on five or six breeds, thin"


def picture(subject: Subject, given: Iterable[Field], prior: Prior = PUBLISHED) -> Picture:
    """Return the distribution of the given lengths of a dog."""
    chosen = set(given)
    fields = tuple(field for field in Field if field in chosen)
    figures = {f: mm for f, mm in stated(subject.breed).items() if f in chosen}
    mean = tuple(_middle(field, subject, prior, figures) for field in fields)
    shared = {pair: _shared(*pair, subject) for pair in combinations_with_replacement(fields, 2)}
    shared |= {(other, one): value for (one, other), value in shared.items()}
    covariance = [[shared[one, other] for other in fields] for one in fields]
    for place, field in enumerate(fields):
        offset = (PUBLISHED if field in figures else prior).of(field, subject.head).variance
        covariance[place][place] += _own_variance(field, mean[place], offset)
    breadth = prior.breadth
    covariance = [[breadth * one for one in row] for row in covariance]
    lower = cholesky(covariance)
    return Picture(
        fields=fields,
        mean=mean,
        growth=tuple(spreads.EXPONENTS[field].value for field in fields),
        covariance=tuple(tuple(row) for row in covariance),
        precision=inverse(lower),
        log_det=log_determinant(lower),
        size=subject.size,
        basis=_basis(subject, figures),
    )
