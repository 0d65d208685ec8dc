"""What the doctor says, word for word where the word matters."""

import pytest

from sizing.doctor import Kind, Severity, diagnose
from sizing.doctor.words import _HINTS, _UNITS, _WHY, about, how_sure, percent
from sizing.dogs import Dog
from sizing.units import LengthUnit
from tests.sizing.doctor.kennel import BEAGLE, DOGS, F, G, N, P

CM, INCH = LengthUnit.CM, LengthUnit.INCH


def test_the_maker_reads_what_is_odd_what_would_be_usual_and_why() -> None:
    dog, lengths = BEAGLE
    (finding,) = diagnose(dog, {**lengths, G: 142.5}, CM).findings

    assert finding.field == "neck_girth"
    assert finding.severity is Severity.STOP
    assert finding.message == (
        "14.25 cm is small for the neck girth of a Beagle beside the other numbers."
        " About 34 cm would be usual, 28 to 41 cm for most. 14.25 looks like inches: 36.2 cm?"
        " That is almost certain (97 %)."
    )
    assert finding.suggestion == "36.2 cm"
    assert finding.suggestion_mm == pytest.approx(361.95)
    assert finding.expected_low_mm is not None
    assert finding.expected_high_mm is not None
    assert finding.expected_low_mm < 361.95 < finding.expected_high_mm
    assert "the dog's other lengths" in finding.basis
    assert "thin" in finding.basis


def test_the_owner_is_asked_kindly_and_in_the_orders_unit() -> None:
    dog, lengths = BEAGLE
    diagnosis = diagnose(dog, {**lengths, G: 142.5}, CM, name="Pipkin")

    assert diagnosis.ask_owner == (
        "Could you measure Pipkin's neck again, please, all the way round, where the collar will"
        " lie? About 34 cm would be usual for the neck girth, and I have 14.25 cm; perhaps it was"
        " read in inches."
    )
    inches = diagnose(dog, {**lengths, G: 142.5}, INCH).ask_owner or ""
    assert "your dog's neck" in inches
    assert "13 1/2 in would be usual" in inches


def test_the_band_beside_the_other_numbers_is_narrower_than_alone() -> None:
    dog, lengths = BEAGLE
    (joint,) = diagnose(dog, {**lengths, G: 100}, CM).findings
    (alone,) = diagnose(dog, {G: 100}, CM).findings
    assert joint.expected_low_mm and joint.expected_high_mm  # noqa: PT018 - for the types
    assert alone.expected_low_mm and alone.expected_high_mm  # noqa: PT018

    narrow = joint.expected_high_mm / joint.expected_low_mm
    assert narrow < alone.expected_high_mm / alone.expected_low_mm
    assert "beside the other numbers" not in alone.message


def test_two_explanations_that_are_near_are_both_said() -> None:
    dog, lengths = BEAGLE
    (finding,) = diagnose(dog, {**lengths, F: 195}, CM).findings

    assert "round the muzzle" in finding.message
    assert "half the girth" in finding.message
    assert finding.suggestion is None


def test_numbers_swapped_are_asked_for_together() -> None:
    dog, lengths = BEAGLE
    asked = diagnose(dog, {**lengths, N: 345, G: 80}, CM, name="Pipkin").ask_owner or ""

    assert "the neck length and the neck girth" in asked
    assert "changed places" in asked
    assert "would be usual for the neck girth" in asked


def test_all_in_inches_is_one_question() -> None:
    dog, lengths = BEAGLE
    inches = {field: round(mm / 25.4 * 4) / 4 * 10 for field, mm in lengths.items()}
    diagnosis = diagnose(dog, inches, CM, name="Pipkin")

    assert "whether Pipkin's numbers are in inches" in (diagnosis.ask_owner or "")
    assert "expect a neck girth of about 34 cm" in (diagnosis.ask_owner or "")
    assert diagnosis.sure.startswith("all inches written as centimetres: almost certain (9")


def test_lengths_that_agree_leave_the_weight_or_the_unit_in_doubt() -> None:
    dog = Dog(weight_kg=9)
    (finding,) = diagnose(dog, {N: 140, G: 630, P: 210, F: 660}, CM).findings

    assert finding.message == (
        "The lengths agree with one another, but they would be usual at about 62 kg, not at the"
        " 9 kg told. Is the weight right, and in kilograms? Or else (28 %): are all of them in"
        " centimetres?"
    )
    pup = {field: mm * 0.6 for field, mm in BEAGLE[1].items()}
    assert ", not for a Beagle. Is it a pup, or a mix?" in (
        diagnose(Dog("Beagle"), pup, CM).findings[0].message
    )
    assert "about 110 kg" in diagnose(Dog(weight_kg=20), {G: 800, F: 790}, CM).findings[0].message


def test_lengths_of_no_dog_are_called_so_to_maker_and_owner() -> None:
    tiny = diagnose(Dog(weight_kg=8), dict.fromkeys([N, G, P, F], 1.0), CM, name="Pipkin")

    assert "no dog is of that size" in tiny.findings[0].message
    assert tiny.ask_owner == (
        "Could you look at all of Pipkin's numbers again, please? As I have them, in centimetres,"
        " they are those of no dog."
    )


def test_how_sure_is_said_of_an_explanation_and_never_of_a_request() -> None:
    dog, lengths = BEAGLE
    (unknown,) = diagnose(dog, {**lengths, G: 14}, CM).findings
    (muzzle,) = diagnose(dog, {**lengths, F: 205}, CM).findings

    assert unknown.message.endswith("for most. Please have it measured again.")
    assert "round the muzzle? That is likely (" in muzzle.message
    assert "%). It goes under the chin" in muzzle.message


def test_a_number_in_the_other_unit_is_told_in_both() -> None:
    dog, lengths = BEAGLE
    (finding,) = diagnose(dog, {**lengths, F: 889}, CM).findings

    assert "That is 35 in, and 35 looks like centimetres: 35.0 cm?" in finding.message


def test_every_kind_has_its_words() -> None:
    outside = {Kind.TRUE, Kind.SIZE}

    assert set(_WHY) == set(Kind) - outside
    assert set(_HINTS) | set(_UNITS) == set(Kind) - outside


@pytest.mark.parametrize(
    ("probability", "text"),
    [(1.0, "almost certain (99 %)"), (0.87, "very likely (87 %)"), (0.5, "likely (50 %)"),
     (0.3, "possible (30 %)"), (0.0, "only a guess (1 %)")],
)  # fmt: skip
def test_how_sure_in_words_and_percent(probability: float, text: str) -> None:
    assert how_sure(probability) == text


def test_never_quite_sure() -> None:
    assert percent(1) == "99 %"
    assert percent(0) == "1 %"


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [(358, CM, "36 cm"), (358, INCH, "14 in"), (362, INCH, "14 1/4 in"), (3, CM, "1 cm")],
)
def test_usual_lengths_are_said_in_whole_cm_or_quarter_inches(
    mm: float, unit: LengthUnit, text: str
) -> None:
    assert about(mm, unit) == text


@pytest.mark.parametrize("factor", [0.1, 0.4, 0.55, 2.0, 2.54, 10.0])
@pytest.mark.parametrize("unit", LengthUnit)
def test_no_sentence_has_a_hole_in_it(factor: float, unit: LengthUnit) -> None:
    for dog, lengths in [*DOGS, (Dog("no such breed"), {P: 100.0})]:
        for field in lengths:
            diagnosis = diagnose(dog, {**lengths, field: lengths[field] * factor}, unit)
            for text in [diagnosis.ask_owner or "", *(f.message for f in diagnosis.findings)]:
                assert "{" not in text
                assert "  " not in text
                assert "None" not in text


def test_what_stops_an_order_is_never_called_very_likely_true() -> None:
    """A neck of 1.2 m alone, of a dog of which nothing else is told."""
    for mm in (700, 900, 1200, 1600):
        found = diagnose(Dog(), {G: mm}, LengthUnit.CM)
        stopped = found.severity is Severity.STOP
        assert stopped is ("no dog is of that size" in found.sure)
        assert ("all is true" in found.sure) is not stopped


def test_a_dog_of_no_known_size_is_of_no_size() -> None:
    (found,) = diagnose(Dog(), {P: 15}, LengthUnit.CM).findings
    assert found.message.startswith("1.5 cm is small for the nape length of a dog. About ")
    (sized,) = diagnose(Dog(weight_kg=20), {P: 15}, LengthUnit.CM).findings
    assert sized.message.startswith("1.5 cm is small for the nape length of a dog of this size.")
