"""How explanations are weighed: the mixture, what can be asked of one number, who is second."""

from math import exp, log, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.doctor import Kind, Severity, diagnose
from sizing.doctor.findings import Explanation
from sizing.doctor.model import picture, subject_of
from sizing.doctor.scale import _dogs
from sizing.doctor.spreads import RARE, RARE_WIDER
from sizing.doctor.verdict import QUERY_BELOW, runner_up, usual
from sizing.doctor.weigh import Weighed, weigh
from sizing.dogs import Dog, Field
from sizing.units import LengthUnit
from tests.sizing.doctor.kennel import BEAGLE, UNKNOWN, G, Lengths, N
from tests.sizing.strategies import reals


def kinds(dog: Dog, lengths: Lengths) -> set[Kind]:
    found = weigh(picture(subject_of(dog), lengths), lengths, LengthUnit.CM)
    return {one.kind for one in found.explanations}


def normal(size: int, log_det: float, squared: float) -> float:
    """A normal density by its textbook formula, from the covariance's determinant."""
    return exp(-(log_det + size * log(2 * pi) + squared) / 2)


@given(st.integers(1, 4), reals(-3.0, 12.0), reals(0.0, 60.0))
def test_dogs_are_usual_ones_and_some_rare_ones_with_a_wider_spread(
    size: int, log_det: float, squared: float
) -> None:
    wider = RARE_WIDER.value
    rare = normal(size, log_det + 2 * size * log(wider), squared / wider**2)
    mixed = (1 - RARE.value) * normal(size, log_det, squared) + RARE.value * rare

    assert _dogs(size, log_det, squared) == pytest.approx(log(mixed), abs=1e-9)


def test_a_weight_is_in_doubt_only_where_it_was_told_and_two_lengths_can_contradict_it() -> None:
    dog, lengths = BEAGLE

    assert Kind.SIZE in kinds(dog, lengths)
    assert Kind.SIZE not in kinds(dog, {G: lengths[G]})
    assert Kind.SIZE not in kinds(*UNKNOWN)


def second(share: float, kind: Kind = Kind.HALF, fields: tuple[Field, ...] = (G,)) -> object:
    first = Explanation(Kind.INCHES, (G,), ((G, 360.0),), 0.6)
    other = Explanation(kind, fields, (), 0.6 * share)
    true = Explanation(Kind.TRUE, (), (), 0.4 - 0.6 * share)
    found = runner_up(Weighed((first, true, other), 3.0, 0.01, 0.01), first)
    return found is other


def test_a_second_question_is_asked_where_the_runner_up_has_a_quarter_of_the_first() -> None:
    # The stated judgement: worth a second question from a quarter of the first on.
    assert second(0.26)
    assert not second(0.24)


def test_a_runner_up_explains_the_same_field_and_is_no_shrug() -> None:
    assert not second(0.5, Kind.UNKNOWN)
    assert not second(0.5, Kind.INCHES)
    assert not second(0.5, fields=(Field.NAPE_LENGTH,))


@given(reals(0.7, 1.4))
def test_what_is_usual_lies_evenly_round_its_middle_and_knows_nothing_of_the_field(
    off: float,
) -> None:
    dog, lengths = BEAGLE
    shape = picture(subject_of(dog), lengths)
    true = Explanation(Kind.TRUE, (), (), 1.0)
    asked = usual(shape, lengths, G, true)
    moved = usual(shape, {**lengths, G: lengths[G] * off}, G, true)

    assert asked.low < asked.middle < asked.high
    assert asked.middle**2 == pytest.approx(asked.low * asked.high)
    assert moved.middle == pytest.approx(asked.middle)


def test_the_basis_says_whether_the_head_is_known() -> None:
    known, unknown = (picture(subject_of(dog), [G]).basis for dog in (Dog("Pug", 8), Dog()))

    assert "short head" in known
    assert "an unknown head type" in unknown


def test_a_number_that_ends_as_inches_do_is_trusted_less_and_never_stopped_for_it() -> None:
    dog, lengths = BEAGLE
    shape = picture(subject_of(dog), lengths)

    def look(collar: float) -> Weighed:
        return weigh(shape, {**lengths, N: collar}, LengthUnit.CM)

    on_inch, beside = look(42.5), look(42.0)
    assert on_inch.smooth > beside.smooth  # 42 lies further away
    assert beside.marked > QUERY_BELOW.value > on_inch.marked
    asked, left = (diagnose(dog, {**lengths, N: mm}, LengthUnit.CM) for mm in (42.5, 42.0))
    assert (asked.severity, left.severity) == (Severity.QUERY, None)
    assert asked.slip.kind is Kind.INCHES


@given(reals(0.2, 5.0), st.sampled_from(Field), st.sampled_from(LengthUnit))
def test_a_quarter_of_an_inch_only_ever_adds_a_question(
    factor: float, field: Field, unit: LengthUnit
) -> None:
    dog, lengths = BEAGLE
    shape = picture(subject_of(dog), lengths)
    quarter = (2 * round(lengths[field] * factor / 5) + 1) * 2.5
    found, beside = (
        weigh(shape, {**lengths, field: mm}, unit) for mm in (quarter, quarter + 0.000137)
    )  # a hair longer, and on no mark of any tape

    assert found.smooth == pytest.approx(beside.smooth, rel=1e-3)
    assert found.marked <= beside.marked * 1.001
