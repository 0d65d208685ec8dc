"""What the breed tells of a dog, and that the owner's word goes before it."""

from sizing.breeds import BREEDS
from sizing.dogs import Coat, Dog, EarCarriage, HeadType, Risk
from sizing.profile import profile_of


def test_a_breed_weighs_what_its_standard_says_and_more_either_way() -> None:
    # Dogs outside their standard are common: pugs in J Vet Intern Med 2016;30:853-865.
    for breed in BREEDS:
        weight = profile_of(Dog(breed.name)).weight

        assert weight
        low, high = breed.weight_kg
        assert weight.low < low <= weight.likely <= high < weight.high


def test_head_ears_and_risks_are_the_breeds_where_the_owner_says_nothing() -> None:
    for breed in BREEDS:
        found = profile_of(Dog(breed.name))

        assert (found.name, found.breed) == (breed.name, breed)
        assert (found.head, found.ears) == (breed.head, breed.ears)
        assert found.risks == breed.risks


def test_the_owners_word_goes_before_the_breeds() -> None:
    for breed in BREEDS:
        for head in HeadType:
            for ears in EarCarriage:
                found = profile_of(Dog(breed.name, 20, head=head, ears=ears))

                assert (found.head, found.ears) == (head, ears)
                assert found.weight
                assert found.weight.low == found.weight.likely == found.weight.high == 20


def test_nothing_is_made_up_of_a_dog_of_no_known_breed() -> None:
    found = profile_of(Dog())

    assert (found.breed, found.ears, found.weight) == (None, None, None)
    assert (found.head, found.risks) == (HeadType.MEDIUM, frozenset())
    assert found.name == "dog"
    assert profile_of(Dog(weight_kg=9)).name == "dog of this size"


def test_a_short_head_and_a_thick_coat_are_risks_of_any_dog() -> None:
    assert profile_of(Dog(head=HeadType.SHORT)).risks == {Risk.SHORT_NOSED}
    assert profile_of(Dog(coat=Coat.THICK)).risks == {Risk.THICK_COAT}
    told = frozenset({Risk.PUPPY})
    assert profile_of(Dog(risks=told, coat=Coat.THICK)).risks == {*told, Risk.THICK_COAT}
