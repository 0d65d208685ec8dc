"""What a standard states of a dog's lengths, taken over from it and from nothing else."""

from dataclasses import replace
from math import exp

import pytest

from sizing.breeds import BREEDS, Breed
from sizing.doctor.standard import stated
from sizing.dogs import Field

STATED = [breed for breed in BREEDS if breed.facts_cite]


def cm(breed: Breed) -> dict[Field, float]:
    return {field: exp(mm) / 10 for field, mm in stated(breed).items()}


def within(length: float, span: tuple[float, float] | None) -> bool:
    return span is not None and span[0] - 1e-9 <= length <= span[1] + 1e-9


@pytest.mark.parametrize("breed", STATED, ids=lambda breed: breed.name)
def test_a_length_is_stated_only_where_the_standard_has_what_it_follows_from(
    breed: Breed,
) -> None:
    head = breed.head_length_cm or (breed.height_cm and breed.head_length_of_height)
    found = stated(breed)

    assert (Field.NAPE_LENGTH in found) == bool(head)
    assert (Field.NECK_LENGTH in found) == bool(head or breed.neck_length_cm)
    assert (Field.NECK_GIRTH in found) == bool(breed.neck_girth_cm)
    assert (Field.FACE_GIRTH in found) == bool(breed.head_girth_cm)


@pytest.mark.parametrize("breed", STATED, ids=lambda breed: breed.name)
def test_stated_lengths_lie_where_the_standard_has_them(breed: Breed) -> None:
    found = cm(breed)

    if Field.FACE_GIRTH in found:
        assert within(found[Field.FACE_GIRTH], breed.head_girth_cm)
    if breed.neck_girth_cm:  # taken close to the shoulder, where the neck is thicker
        assert found[Field.NECK_GIRTH] < breed.neck_girth_cm[1]
    if breed.neck_length_cm:  # the collar ends below the ear and above the shoulder
        assert found[Field.NECK_LENGTH] < breed.neck_length_cm[1]
    if Field.NAPE_LENGTH in found:  # the back of the head is a part of its length
        if breed.head_length_cm:
            longest = breed.head_length_cm[1]
        else:
            assert breed.height_cm
            assert breed.head_length_of_height
            longest = breed.height_cm[1] * breed.head_length_of_height[1]
        assert found[Field.NAPE_LENGTH] < longest


def test_a_head_of_twice_the_length_has_a_nape_of_twice_the_length() -> None:
    breed = replace(STATED[0], head_length_cm=(20, 24), neck_length_cm=None)
    double = replace(breed, head_length_cm=(40, 48))
    one, two = cm(breed), cm(double)

    assert two[Field.NAPE_LENGTH] == pytest.approx(2 * one[Field.NAPE_LENGTH])
    assert two[Field.NECK_LENGTH] == pytest.approx(2 * one[Field.NECK_LENGTH])


def test_a_head_length_is_also_told_by_the_height() -> None:
    length = replace(
        STATED[0], head_length_cm=(20, 25), height_cm=None, head_length_of_height=None,
        neck_length_cm=None, neck_of_head_length=None,
    )  # fmt: skip
    share = replace(
        length, head_length_cm=None, height_cm=(50, 62.5), head_length_of_height=(0.4, 0.4)
    )

    assert cm(share) == pytest.approx(cm(length))


def test_a_neck_told_as_a_share_of_the_head_is_that_share() -> None:
    told = replace(STATED[0], head_length_cm=(20, 25), neck_length_cm=(16, 20))
    share = replace(told, neck_length_cm=None, neck_of_head_length=(0.8, 0.8))

    assert cm(share)[Field.NECK_LENGTH] == pytest.approx(cm(told)[Field.NECK_LENGTH])


def test_what_has_no_source_is_not_stated() -> None:
    assert stated(None) == {}
    assert stated(replace(STATED[0], head_girth_cm=(40, 50), facts_cite="")) == {}
