"""What fittings teach: looser after tight, hardly tighter after loose, a dog's own most."""

from dataclasses import replace
from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.errors import ValueOutOfRangeError
from sizing.fit import PLAIN_LESSONS, Lessons, Reduction, target, taught
from sizing.fittings import (
    DOGS_APART,
    FELT_SD,
    MAKER_SD,
    MOST_LOOSER,
    MOST_TIGHTER,
    STEP,
    Felt,
    Fitting,
    lessons_of,
)
from sizing.plan import make_plan
from sizing.wearing import Zone
from tests.sizing.builders import request, spaniel

USUAL = 1.24
felt = st.sampled_from(Felt)


def collar(how: Felt, ratio: float = USUAL) -> Fitting:
    return Fitting(Zone.COLLAR, ratio, USUAL, how)


def test_nothing_felt_teaches_nothing() -> None:
    assert lessons_of({}, "moth") is PLAIN_LESSONS
    assert lessons_of({"moth": ()}, "moth") is PLAIN_LESSONS


def test_one_tight_fitting_is_weighed_by_the_closed_form() -> None:
    lesson = lessons_of({"moth": (collar(Felt.TIGHT),)}, "moth")
    # Normal prior, one normal observation, done by hand: the maker's and the dog's variances
    # add up, and the observation counts by its share of the whole variance.
    prior = MAKER_SD.value**2 + DOGS_APART.value**2
    mean = -STEP.value * prior / (prior + FELT_SD.value**2)

    assert lesson.collar == pytest.approx(exp(mean))
    assert (lesson.nape, lesson.opening) == (1.0, 1.0)


@given(st.integers(1, 8))
def test_tight_makes_the_next_hood_looser_and_loose_hardly_tighter(times: int) -> None:
    tight = lessons_of({"moth": (collar(Felt.TIGHT),) * times}, "moth").collar
    loose = lessons_of({"moth": (collar(Felt.LOOSE),) * times}, "moth").collar

    assert exp(-MOST_LOOSER.value) <= tight < 1 < loose <= exp(MOST_TIGHTER.value)


def test_a_good_fitting_as_usual_changes_nothing_but_one_worn_looser_does() -> None:
    assert lessons_of({"moth": (collar(Felt.GOOD),)}, "moth").collar == pytest.approx(1)
    assert lessons_of({"moth": (collar(Felt.GOOD, 1.1),)}, "moth").collar < 1


def test_another_dog_teaches_less_than_the_dog_itself() -> None:
    fittings = {"moth": (collar(Felt.TIGHT),)}
    own, other = lessons_of(fittings, "moth").collar, lessons_of(fittings, "kluska").collar
    assert own < other < 1


@given(st.lists(st.tuples(felt, st.floats(0.5, 3.0)), max_size=20))
def test_no_fittings_whatever_tighten_by_more_than_the_bound(
    found: list[tuple[Felt, float]],
) -> None:
    fittings = tuple(collar(how, ratio) for how, ratio in found)
    lesson = lessons_of({"moth": fittings, "others": fittings}, "moth").collar
    assert exp(-MOST_LOOSER.value) - 1e-9 <= lesson <= exp(MOST_TIGHTER.value) + 1e-9


def test_a_lesson_multiplies_the_worn_ratio() -> None:
    less = Reduction(0.2, 0.1)
    learnt = target(spaniel(), taught(less, Lessons(0.9, 0.8, 0.95)))
    plain = target(spaniel(), less)

    assert plain.collar_girth / learnt.collar_girth == pytest.approx(0.9)
    assert plain.nape / learnt.nape == pytest.approx(0.8)
    assert plain.face_opening / learnt.face_opening == pytest.approx(0.95)
    assert taught(less, PLAIN_LESSONS) is less


def test_a_hood_after_a_tight_one_is_planned_looser() -> None:
    order = request()
    lessons = lessons_of({"moth": (collar(Felt.TIGHT),)}, "moth")

    before, after = make_plan(order), make_plan(replace(order, lessons=lessons))

    assert after.target.collar_girth > before.target.collar_girth
    assert after.rows.collar_rows >= before.rows.collar_rows


def test_a_ratio_of_nothing_is_refused() -> None:
    with pytest.raises(ValueOutOfRangeError, match="above zero"):
        Fitting(Zone.NAPE, 0.0, 1.1, Felt.GOOD)
