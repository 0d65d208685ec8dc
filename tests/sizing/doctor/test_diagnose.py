"""What the doctor says of hand-picked dogs, and the laws that its sayings keep."""

from itertools import chain, combinations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from sizing.doctor import Diagnosis, Kind, Severity, diagnose
from sizing.doctor.slips import digits_swapped
from sizing.dogs import Dog, Field
from sizing.errors import ValueOutOfRangeError
from sizing.units import LengthUnit
from tests.sizing.doctor.kennel import (
    BEAGLE,
    BREED_ONLY,
    CHIHUAHUA,
    DOGS,
    GREYHOUND,
    LABRADOR,
    MASTIFF,
    MIX,
    PUG,
    TOLD,
    UNKNOWN,
    Case,
    F,
    G,
    Lengths,
    N,
    P,
)
from tests.sizing.strategies import reals, weights

CM, INCH = LengthUnit.CM, LengthUnit.INCH
RANK = {None: 0, Severity.QUERY: 1, Severity.STOP: 2}


def spoilt(case: Case, change: Lengths) -> Diagnosis:
    dog, lengths = case
    return diagnose(dog, {**lengths, **change}, CM, name="Pipkin")


def said(diagnosis: Diagnosis) -> tuple[Kind, set[Field]]:
    return diagnosis.slip.kind, set(diagnosis.slip.fields)


@pytest.mark.parametrize(("dog", "lengths"), DOGS)
@pytest.mark.parametrize("unit", LengthUnit)
def test_a_true_dog_is_believed(dog: Dog, lengths: Lengths, unit: LengthUnit) -> None:
    diagnosis = diagnose(dog, lengths, unit)

    assert diagnosis.severity is None
    assert diagnosis.findings == ()
    assert diagnosis.ask_owner is None
    assert diagnosis.explanations[0].kind is Kind.TRUE
    assert "all is true" in diagnosis.sure


@pytest.mark.parametrize(
    ("case", "change", "kind", "meant"),
    [
        (BEAGLE, {G: 142.5}, Kind.INCHES, {G: 361.95}),
        (LABRADOR, {F: 182.5}, Kind.INCHES, {F: 463.55}),
        (BREED_ONLY, {G: 142.5}, Kind.INCHES, {G: 361.95}),
        (UNKNOWN, {G: 152.5}, Kind.INCHES, {G: 387.35}),
        (BEAGLE, {F: 889.0}, Kind.CENTIMETRES, {F: 350}),
        (GREYHOUND, {G: 1016.0}, Kind.CENTIMETRES, {G: 400}),
        (PUG, {P: 9}, Kind.TEN_TIMES_LESS, {P: 90}),
        (BEAGLE, {P: 1050}, Kind.TEN_TIMES_MORE, {P: 105}),
        (CHIHUAHUA, {G: 2150}, Kind.TEN_TIMES_MORE, {G: 215}),
        (MIX, {G: 34.5}, Kind.TEN_TIMES_LESS, {G: 345}),
        (MIX, {F: 930}, Kind.DIGITS, {F: 390}),
        (LABRADOR, {N: 455, G: 130}, Kind.SWAPPED, {N: 130, G: 455}),
        (MASTIFF, {P: 640, F: 175}, Kind.SWAPPED, {P: 175, F: 640}),
        (GREYHOUND, {G: 195}, Kind.HALF, {G: 390}),
        (MASTIFF, {F: 310}, Kind.HALF, {F: 620}),
        (BEAGLE, {F: 205}, Kind.MUZZLE, {}),
        (LABRADOR, {G: 680}, Kind.SHOULDER, {}),
        (LABRADOR, {N: 320}, Kind.NAPE_INCLUDED, {N: 175}),
    ],
)
def test_a_slip_is_known_by_its_shape(
    case: Case, change: Lengths, kind: Kind, meant: Lengths
) -> None:
    diagnosis = spoilt(case, change)

    assert diagnosis.severity is not None
    assert said(diagnosis) == (kind, set(change))
    for field, mm in meant.items():
        assert diagnosis.slip.suggested(field) == pytest.approx(mm)
    assert bool(diagnosis.slip.meant) == bool(meant)
    assert {finding.field for finding in diagnosis.findings} >= set(change)


@pytest.mark.parametrize(("dog", "lengths"), TOLD)
@pytest.mark.parametrize(
    ("factor", "kind"), [(1 / 2.54, Kind.ALL_INCHES), (2.54, Kind.ALL_CENTIMETRES)]
)
def test_all_numbers_in_the_other_unit(
    dog: Dog, lengths: Lengths, factor: float, kind: Kind
) -> None:
    written = {field: mm * factor for field, mm in lengths.items()}
    diagnosis = diagnose(dog, written, CM)

    assert said(diagnosis) == (kind, set(Field))
    assert diagnosis.severity is Severity.STOP
    assert dict(diagnosis.slip.meant) == pytest.approx(lengths)
    assert len(diagnosis.findings) == 4


def test_the_ratio_of_two_numbers_tells_what_neither_tells_alone() -> None:
    pair = {G: 500.0, F: 330.0}

    assert diagnose(Dog(), pair, CM).severity is Severity.QUERY
    for field, mm in pair.items():
        assert diagnose(Dog(), {field: mm}, CM).severity is None


@pytest.mark.parametrize(("dog", "lengths"), TOLD)
@pytest.mark.parametrize(("factor", "kind"), [(0.5, Kind.HALF), (10 / 25.4, Kind.INCHES)])
def test_both_girths_taken_wrong_alike(
    dog: Dog, lengths: Lengths, factor: float, kind: Kind
) -> None:
    girths = {field: round(lengths[field] * factor * 0.4) / 0.4 for field in (G, F)}
    diagnosis = diagnose(dog, {**lengths, **girths}, CM)

    assert diagnosis.severity is Severity.STOP
    assert {finding.field for finding in diagnosis.findings} == {G, F}
    assert kind in {one.kind for one in diagnosis.explanations[:2] if set(one.fields) == {G, F}}


@pytest.mark.parametrize("times", [1 / 40, 1 / 8, 4, 7])
def test_numbers_of_no_dogs_size_are_stopped_whatever_else_may_explain_them(times: float) -> None:
    for _, lengths in (BEAGLE, UNKNOWN):
        written = {field: mm * times for field, mm in lengths.items()}
        for dog in (Dog(), Dog(weight_kg=0.2), Dog("Great Dane")):
            assert diagnose(dog, written, CM).severity is Severity.STOP


def test_what_nobody_writes_is_never_suggested() -> None:
    dog, lengths = BEAGLE
    (finding,) = diagnose(dog, {**lengths, P: 4.0, F: 105.0, N: 350.0}, CM).findings[:1]
    tiny = diagnose(Dog(), {N: 397, G: 556, P: 1.0, F: 1.5}, INCH).findings

    for one in (finding, *tiny):
        assert one.suggestion_mm is None or 10 <= one.suggestion_mm <= 3000
        assert ": 0 in?" not in one.message
        assert ": ?" not in one.message


def test_lengths_too_short_to_be_read_break_nothing() -> None:
    for dog, lengths in DOGS:
        assert diagnose(dog, {**lengths, N: 5e-324}, CM).severity is Severity.STOP


def test_numbers_that_agree_with_one_another_put_the_weight_in_question() -> None:
    dog, lengths = BEAGLE
    large = {field: mm * 1.6 for field, mm in lengths.items()}
    diagnosis = diagnose(dog, large, CM, name="Pipkin")

    assert diagnosis.slip.kind is Kind.SIZE
    assert diagnosis.severity is Severity.QUERY
    assert [finding.field for finding in diagnosis.findings] == ["weight"]
    assert "weight" in (diagnosis.ask_owner or "")
    pup = {field: mm * 0.6 for field, mm in lengths.items()}
    assert [one.field for one in diagnose(Dog("Beagle"), pup, CM).findings] == ["breed"]
    assert diagnose(Dog("Beagle"), pup, CM).severity is Severity.QUERY


@pytest.mark.parametrize(
    "fields", list(chain.from_iterable(combinations(Field, size) for size in range(1, 5)))
)
def test_any_lengths_may_be_given(fields: tuple[Field, ...]) -> None:
    for dog, lengths in DOGS:
        given_ = {field: lengths[field] for field in fields}
        assert diagnose(dog, given_, CM).severity is None
        field = fields[-1]
        far = diagnose(dog, {**given_, field: 2900}, INCH)
        assert far.severity is Severity.STOP
        assert field in {finding.field for finding in far.findings}


def test_nothing_given_is_refused() -> None:
    with pytest.raises(ValueOutOfRangeError):
        diagnose(Dog(), {}, CM)
    with pytest.raises(ValueOutOfRangeError):
        diagnose(Dog(), {G: 0.0}, CM)


@st.composite
def anything(draw: st.DrawFn) -> Case:
    dog, lengths = draw(st.sampled_from(DOGS))
    fields = draw(st.lists(st.sampled_from(Field), min_size=1, unique=True))
    told = draw(st.sampled_from([dog, Dog(weight_kg=draw(weights()))]))
    return told, {field: lengths[field] * draw(reals(0.05, 8)) for field in fields}


@given(anything(), st.sampled_from(LengthUnit))
def test_the_probabilities_add_up_and_fall(case: Case, unit: LengthUnit) -> None:
    diagnosis = diagnose(*case, unit)
    chances = [one.probability for one in diagnosis.explanations]

    assert sum(chances) == pytest.approx(1)
    assert chances == sorted(chances, reverse=True)
    assert 0 <= diagnosis.true_probability <= 1
    assert bool(diagnosis.findings) == (diagnosis.severity is not None)
    assert all(one.field for one in diagnosis.findings)


@given(anything())
def test_the_orders_unit_changes_nothing_but_swapped_digits(case: Case) -> None:
    dog, lengths = case
    cm, inch = diagnose(dog, lengths, CM), diagnose(dog, lengths, INCH)

    assert cm.severity is inch.severity
    assume(not any(digits_swapped(mm, unit) for mm in lengths.values() for unit in LengthUnit))
    assert cm.explanations == inch.explanations
    assert [one.suggestion_mm for one in cm.findings] == [
        one.suggestion_mm for one in inch.findings
    ]


@settings(max_examples=300)
@given(
    st.sampled_from(DOGS), st.sampled_from(Field), st.sampled_from([1, -1]),
    st.lists(reals(0, 2.5), min_size=2, max_size=6),
)  # fmt: skip
def test_a_number_further_away_is_never_taken_more_lightly(
    case: Case, field: Field, way: int, steps: list[float]
) -> None:
    dog, lengths = case
    ranks = [
        RANK[
            diagnose(dog, {**lengths, field: lengths[field] * 2.718 ** (way * step)}, CM).severity
        ]
        for step in sorted(steps)
    ]

    assert ranks == sorted(ranks)


@pytest.mark.parametrize(("dog", "lengths"), TOLD)
def test_rare_but_possible_is_asked_after_and_not_stopped(dog: Dog, lengths: Lengths) -> None:
    fat = diagnose(dog, {**lengths, G: lengths[G] * 1.30}, CM)
    young = diagnose(dog, {field: mm * 0.75 for field, mm in lengths.items()}, CM)

    assert fat.severity is not Severity.STOP
    assert young.severity is not Severity.STOP


def test_a_plain_swap_of_like_numbers_is_within_natural_spread() -> None:
    dog, lengths = BEAGLE

    assert diagnose(dog, {**lengths, G: 350.0, F: 345.0}, CM).severity is None
