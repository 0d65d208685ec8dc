"""Findings: when one is made, how grave it is, and how it reads."""

import re
from itertools import product

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from sizing.breeds import BREEDS, Breed, Stated
from sizing.checks import Severity, check, check_given
from sizing.dogs import Dog, Field, HeadType, Measurements
from sizing.units import LengthUnit, read_length
from tests.sizing.builders import spaniel
from tests.sizing.strategies import dogs, odd_measurements, of_weight, reals
from tests.sizing.test_slips import CM, INCH, each_breed, middle, on


@pytest.mark.parametrize(
    "breed", [b for b in BREEDS if b.stated is Stated.RANGE], ids=lambda breed: breed.name
)
def test_a_true_dog_in_the_middle_of_its_breed_gives_no_finding(breed: Breed) -> None:
    dog, true = middle(breed)

    assert check(dog, true, CM) == ()
    without_weight = check(Dog(breed=breed.name), true, INCH)
    assert [finding.field for finding in without_weight] == ["weight"]


@given(dogs(1.0, 100.0), st.sampled_from(LengthUnit))
def test_a_dog_anywhere_in_its_bands_is_never_stopped(
    case: tuple[Dog, Measurements], unit: LengthUnit
) -> None:
    assert all(finding.severity is not Severity.STOP for finding in check(*case, unit))


@pytest.mark.parametrize("head", HeadType)
@pytest.mark.parametrize("kg", [1, 2, 4, 8, 14, 25, 40, 60, 80, 100])
def test_a_dog_in_a_corner_of_its_bands_is_never_stopped(head: HeadType, kg: float) -> None:
    for corner in product((0.0, 1.0), repeat=len(Field)):
        true = of_weight(kg, head, dict(zip(Field, corner, strict=True)))
        findings = check(Dog(weight_kg=kg, head=head), true, CM)
        assert all(finding.severity is not Severity.STOP for finding in findings), corner


LADDER = [1.06**step for step in range(60)]
GRAVE = {None: 0, Severity.NOTE: 0, Severity.QUERY: 1, Severity.STOP: 2}


def gravity(dog: Dog, lengths: Measurements) -> int:
    return max((GRAVE[finding.severity] for finding in check(dog, lengths, CM)), default=0)


@each_breed
@pytest.mark.parametrize("field", Field)
@pytest.mark.parametrize("way", [1, -1], ids=["larger", "smaller"])
def test_the_further_outside_the_graver(breed: Breed, field: Field, way: int) -> None:
    dog, true = middle(breed)
    steps = [true.of(field) * rung**way for rung in LADDER]

    found = [gravity(dog, true.with_({field: mm})) for mm in steps if 1 <= mm <= 2999]

    assert found == sorted(found)
    assert set(found) == {0, 1, 2}
    assert gravity(dog, true.with_({field: 2999 if way == 1 else 1})) == GRAVE[Severity.STOP]


@each_breed
@pytest.mark.parametrize("field", Field)
def test_a_little_outside_is_no_stop_and_far_outside_is_at_least_asked(
    breed: Breed, field: Field
) -> None:
    dog, true = middle(breed)
    shown = on(field, check(dog, true.with_({field: 2900}), CM))
    assert shown.expected_low_mm
    assert shown.expected_high_mm

    assert gravity(dog, true.with_({field: shown.expected_high_mm * 1.1})) < 2
    assert gravity(dog, true.with_({field: shown.expected_low_mm / 1.1})) < 2
    # A collar may be any share of the neck. One that is read to the half centimetre, so that its
    # number stands on an inch tape too, is asked after sooner than one that cannot be inches.
    far = 1.75 if field is Field.NECK_LENGTH else 1.5
    assert gravity(dog, true.with_({field: shown.expected_high_mm * far})) > 0
    assert gravity(dog, true.with_({field: shown.expected_low_mm / far})) > 0
    for mm in (shown.expected_high_mm * 1.5, shown.expected_low_mm / 1.5):
        assert gravity(dog, true.with_({field: max(round(mm / 5), 1) * 5.0})) > 0
    if field in {Field.NECK_GIRTH, Field.FACE_GIRTH}:
        assert gravity(dog, true.with_({field: shown.expected_high_mm * 1.5})) == 2
        assert gravity(dog, true.with_({field: shown.expected_low_mm / 1.5})) == 2


def test_a_breed_that_is_not_in_the_table_is_noted_and_no_more() -> None:
    findings = check(Dog(breed="Moon hound", weight_kg=14), spaniel(), CM)

    assert [(f.field, f.severity) for f in findings] == [("breed", Severity.NOTE)]
    assert "Moon hound" in findings[0].message


def test_a_long_text_for_a_breed_is_cut_in_the_message() -> None:
    finding = check(Dog(breed="x" * 5000, weight_kg=14), spaniel(), CM)[0]

    assert len(finding.message) < 200


def test_a_mix_is_checked_by_its_weight() -> None:
    assert check(Dog(weight_kg=14), spaniel(), CM) == ()
    (heavy,) = check(Dog(weight_kg=80), spaniel(), CM)
    assert heavy.field == "weight"
    assert "at about 18 kg" in heavy.message
    wrong = spaniel().with_({Field.NECK_GIRTH: 140})
    (found,) = check(Dog(weight_kg=14), wrong, CM)
    assert (found.field, found.severity) == ("neck_girth", Severity.STOP)
    assert "the weight of 14 kg" in found.basis


def test_a_weight_that_belongs_to_another_dog_is_stopped_when_it_is_far_off() -> None:
    (found,) = check(Dog(weight_kg=9), Measurements(140, 630, 210, 660), CM)

    assert (found.field, found.severity) == ("weight", Severity.STOP)
    assert "agree with one another" in found.message


def test_a_weight_is_found_wrong_once_and_not_twice() -> None:
    findings = check(Dog(breed="Pug", weight_kg=40), spaniel(), CM)

    assert len({finding.field for finding in findings}) == len(findings)


def test_an_unknown_dog_is_checked_by_its_own_four_numbers() -> None:
    assert [f.field for f in check(Dog(), spaniel(), CM)] == ["weight"]
    odd = check(Dog(), spaniel().with_({Field.NECK_GIRTH: 140}), CM)

    assert [f.field for f in odd] == ["weight", "neck_girth"]
    assert odd[1].suggestion == "35.55 cm"
    assert "the dog's other lengths" in odd[1].basis


@pytest.mark.parametrize("times", [3, 7, 1 / 7, 1 / 50])
@pytest.mark.parametrize("unit", LengthUnit)
def test_four_numbers_in_good_proportion_but_of_no_dogs_size_are_stopped(
    times: float, unit: LengthUnit
) -> None:
    giant = Measurements(*(times * spaniel().of(field) for field in Field))

    stopped = {f.field for f in check(Dog(), giant, unit) if f.severity is Severity.STOP}

    assert stopped >= {"neck_girth", "face_girth"}


def test_four_numbers_of_no_dog_beside_a_weight_are_said_to_be_of_none() -> None:
    (found,) = check(Dog(weight_kg=8), Measurements(1, 1, 1, 1), CM)

    assert found.severity is Severity.STOP
    assert "no dog is of that size" in found.message


@given(st.lists(reals(5e-324, 3000), min_size=4, max_size=4), st.sampled_from(LengthUnit))
@example([5e-324, 3000, 3000, 3000], CM)
@example([5e-324] * 4, INCH)
@example([3000] * 4, CM)
def test_no_four_numbers_however_odd_break_it(lengths: list[float], unit: LengthUnit) -> None:
    odd = Measurements(*lengths)

    for dog in (Dog(), Dog(weight_kg=0.2), Dog("Great Dane"), Dog("Pug", 165)):
        for finding in check(dog, odd, unit):
            assert not re.search(r"\b(nan|inf|None)\b", finding.message)


def test_fewer_than_four_numbers_are_checked_as_they_come() -> None:
    dog = Dog(weight_kg=14)

    assert check_given(dog, {}, CM) == ()
    found = check_given(dog, {Field.NECK_GIRTH: 140.0}, CM)
    assert [f.field for f in found] == ["neck_girth"]


def test_a_weight_far_from_its_breed_is_queried() -> None:
    findings = check(Dog(breed="Pug", weight_kg=40), spaniel(), CM)

    weight = next(f for f in findings if f.field == "weight")
    assert weight.severity is Severity.QUERY
    assert "a Pug" in weight.message


def test_a_real_pugs_weight_is_not_queried() -> None:
    # J Vet Intern Med 2016;30:853-865, table 2: a hundred pugs, 4.6 to 14.4 kg.
    for kg in (4.6, 8.4, 14.4):
        dog = Dog(breed="Pug", weight_kg=kg)
        true = of_weight(kg, HeadType.SHORT, dict.fromkeys(Field, 0.5))
        assert check(dog, true, CM) == ()


@pytest.mark.parametrize(
    ("head", "kg", "girth", "source"),
    [
        (HeadType.MEDIUM, 40.89, 484.3, "Kangal: Tepeli and Cetin 2003, weight of the breed"),
        (HeadType.MEDIUM, 37.66, 447.2, "Akbash: Tepeli and Cetin 2003, weight of the breed"),
        (HeadType.MEDIUM, 33.0, 520.5, "Chesapeake: FCI-Standard 263"),
        (HeadType.MASTIFF, 36.0, 595.0, "Perro Dogo Mallorquin: FCI-Standard 249"),
        (HeadType.MASTIFF, 50.0, 640.0, "Dogue de Bordeaux: FCI-Standard 116"),
    ],
)
def test_the_few_published_heads_lie_in_their_span(
    head: HeadType, kg: float, girth: float, source: str
) -> None:
    true = of_weight(kg, head, dict.fromkeys(Field, 0.5)).with_({Field.FACE_GIRTH: girth})

    assert check(Dog(weight_kg=kg, head=head), true, CM) == (), source


@given(dogs(), odd_measurements(), st.sampled_from(LengthUnit))
@settings(max_examples=150)
def test_every_finding_is_whole_and_in_plain_words(
    case: tuple[Dog, Measurements], odd: Measurements, unit: LengthUnit
) -> None:
    findings = check(case[0], odd, unit)
    assume(findings)

    for finding in findings:
        assert finding.field in {*Field, "weight", "breed"}
        assert finding.severity in Severity
        assert finding.basis
        assert re.fullmatch(r"[^_{}<>]*[.?]", finding.message), finding.message
        assert finding.message[0].isupper() or finding.message[0].isdigit()
        assert not re.search(r"\b(nan|inf|None|span|mm|W\^)\b|\de[-+]?\d", finding.message)
        assert (finding.suggestion is None) == (finding.suggestion_mm is None)
        if finding.field in set(Field):
            assert finding.expected_low_mm is not None
            assert finding.expected_high_mm is not None
            assert 0 < finding.expected_low_mm < finding.expected_high_mm
        if finding.suggestion is not None and finding.suggestion_mm is not None:
            back = read_length(finding.suggestion, unit).value
            assert back == pytest.approx(finding.suggestion_mm, abs=25.4 / 16 + 0.01)
            assert 10 <= finding.suggestion_mm <= 3000


def test_a_message_reads_as_one_would_say_it() -> None:
    dog = Dog(breed="Beagle", weight_kg=11)
    wrong = Measurements(90, 140, 95, 340)

    assert check(dog, wrong, CM)[0].message == (
        "14.0 cm is small for the neck girth of a Beagle beside the other numbers. About 33 cm"
        " would be usual, 27 to 40 cm for most. 14 looks like inches: 35.55 cm? That is likely"
        " (58 %). Or else (37 %): It may be half the girth, taken flat: 28.0 cm?"
    )
    assert check(dog, Measurements(90, 14, 95, 340), CM)[0].message == (
        "1.4 cm is small for the neck girth of a Beagle beside the other numbers. About 33 cm"
        " would be usual, 27 to 40 cm for most. Please have it measured again."
    )


@pytest.mark.parametrize(
    ("name", "said"),
    [("Akita", "an Akita"), ("Eurasier", "a Eurasier"), ("Irish Setter", "an Irish Setter")],
)
def test_a_breed_has_its_right_article(name: str, said: str) -> None:
    findings = check(Dog(breed=name), Measurements(90, 30, 95, 340), CM)

    assert f"of {said} beside the other numbers." in findings[-1].message
