"""The picture of a dog: means, covariances, and what a standard adds."""

from dataclasses import replace
from itertools import chain, combinations
from math import exp, log

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from sizing.breeds import BREEDS, Breed, find
from sizing.doctor import Picture, picture, subject_of
from sizing.doctor.model import size_of
from sizing.doctor.scale import Scale
from sizing.dogs import Dog, Field, HeadType
from tests.sizing.doctor.kennel import BEAGLE, DOGS, F, G, N, P

SUBSETS = list(chain.from_iterable(combinations(Field, size) for size in range(1, 5)))


def usual(dog: Dog) -> dict[Field, float]:
    shape = picture(subject_of(dog), Field)
    return {field: exp(mean) for field, mean in zip(shape.fields, shape.mean, strict=True)}


@pytest.mark.parametrize("fields", SUBSETS)
def test_the_density_of_a_subset_is_the_marginal_of_the_whole(fields: tuple[Field, ...]) -> None:
    dog, lengths = BEAGLE
    whole = picture(subject_of(dog), Field)
    part = picture(subject_of(dog), fields)
    places = [whole.fields.index(field) for field in part.fields]
    covariance = np.array(whole.covariance)[np.ix_(places, places)]

    assert part.mean == tuple(whole.mean[place] for place in places)
    assert np.allclose(part.covariance, covariance)
    scale = Scale(part, {field: lengths[field] for field in part.fields})
    theirs = multivariate_normal(part.mean, covariance).logpdf(
        [log(lengths[field]) for field in part.fields]
    )
    ours = -(len(fields) * log(2 * np.pi) + part.log_det + scale.squared) / 2
    assert ours == pytest.approx(theirs)


@pytest.mark.parametrize("breed", BREEDS, ids=lambda breed: breed.name)
def test_every_breed_has_a_usual_dog_with_a_dogs_proportions(breed: Breed) -> None:
    dog = usual(Dog(breed.name))

    assert 0.8 < dog[G] / dog[F] < 1.15
    assert 0.15 < dog[N] / dog[G] < 0.5
    assert 0.2 < dog[P] / dog[F] < 0.45


def test_lengths_grow_with_weight_and_small_dogs_have_relatively_big_heads() -> None:
    small, large = usual(Dog(weight_kg=3)), usual(Dog(weight_kg=60))

    assert all(small[field] < large[field] for field in Field)
    assert small[F] / small[G] > large[F] / large[G]
    assert large[G] / small[G] == pytest.approx(20 ** (1 / 3))


def test_the_less_is_told_the_wider_the_picture() -> None:
    subjects = [Dog("Beagle", 12), Dog("Beagle"), Dog()]
    spreads = [picture(subject_of(dog), [G]).covariance[0][0] for dog in subjects]

    assert spreads == sorted(spreads)
    known = picture(subject_of(Dog(weight_kg=12, head=HeadType.MEDIUM)), [G])
    unknown = picture(subject_of(Dog(weight_kg=12)), [G])
    assert known.covariance[0][0] < unknown.covariance[0][0]


def test_a_breed_is_taken_to_be_heavier_than_its_standard() -> None:
    beagle = find("Beagle")
    assert beagle
    low, high = beagle.weight_kg

    assert exp(size_of(None, beagle).mean) == pytest.approx((low * high * 0.73 * 1.78) ** 0.5)


def test_a_standards_own_figures_come_first() -> None:
    breed = find("Ca de Bou")
    assert breed
    subject = subject_of(Dog("Ca de Bou", 33.76))  # the middle of its standard
    robbed = replace(subject, breed=replace(breed, head_girth_cm=None))

    assert exp(picture(subject, [F]).mean[0]) == pytest.approx(595, rel=0.001)
    assert picture(robbed, [F]).mean[0] < picture(subject, [F]).mean[0]
    assert "FCI-Standard 249" in picture(subject, [F]).basis


def test_a_neck_girth_close_to_the_shoulder_is_not_taken_for_a_collars_place() -> None:
    assert usual(Dog("Chesapeake Bay Retriever", 30.2))[G] < 508


@pytest.mark.parametrize(("dog", "lengths"), DOGS)
def test_the_basis_says_that_it_is_thin(dog: Dog, lengths: dict[Field, float]) -> None:
    shape: Picture = picture(subject_of(dog), lengths)

    assert "thin" in shape.basis


def test_girths_vouch_for_each_other_more_than_lengths_do() -> None:
    shape = picture(subject_of(Dog(weight_kg=12)), Field)
    spread = np.sqrt(np.diag(np.array(shape.covariance)))
    correlation = np.array(shape.covariance) / np.outer(spread, spread)
    place = {field: shape.fields.index(field) for field in Field}

    assert correlation[place[G], place[F]] > 0.5
    assert correlation[place[N], place[P]] < correlation[place[G], place[F]]
