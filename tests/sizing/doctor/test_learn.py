"""What finished orders teach, and what they may not."""

from math import log, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.doctor import (
    PUBLISHED,
    Finished,
    Prior,
    Severity,
    diagnose,
    learn,
    picture,
    subject_of,
)
from sizing.doctor.learn import FARTHEST
from sizing.doctor.prior import LEAST_SPREAD, MOST_SHIFT, NARROWEST, SPREAD_TRUST, WIDEST
from sizing.doctor.spreads import MIDDLE_OWN
from sizing.dogs import Dog, Field, HeadType
from sizing.units import LengthUnit
from tests.sizing.doctor.kennel import DOGS, F, G, Lengths, N, P
from tests.sizing.strategies import reals

CM = LengthUnit.CM
RANK = {None: 0, Severity.QUERY: 1, Severity.STOP: 2}
MEDIUM = HeadType.MEDIUM


def beagles(count: int, larger: float = 1.0) -> list[Finished]:
    lengths = {N: 92.0, G: 339.0 * larger, P: 107.0, F: 346.0 * larger}
    return [Finished(Dog("Beagle", 12), lengths)] * count


def test_the_update_is_the_conjugate_one() -> None:
    order = Finished(Dog("Beagle", 12), {G: 380.0})
    shape = picture(subject_of(order.dog), [G])
    own = MIDDLE_OWN[G].value ** 2
    noise = shape.covariance[0][0] - own
    seen = 0.11488  # ln of 380 mm by the usual length

    learned = learn(PUBLISHED, [order]).offsets[G, MEDIUM]

    assert learned.variance == pytest.approx(1 / (1 / own + 1 / noise))
    assert learned.mean == pytest.approx(seen * own / (own + noise), rel=0.01)


def test_it_may_be_learned_in_parts_and_in_any_order() -> None:
    first, second = beagles(3, 1.1), beagles(2, 0.95)
    at_once = learn(PUBLISHED, [*first, *second])
    in_parts = learn(learn(PUBLISHED, second), first)

    for key, offset in at_once.offsets.items():
        assert in_parts.offsets[key].mean == pytest.approx(offset.mean)
        assert in_parts.offsets[key].variance == pytest.approx(offset.variance)
    assert in_parts.breadth == pytest.approx(at_once.breadth)
    assert PUBLISHED.offsets[G, MEDIUM].mean == 0


def test_other_head_types_are_left_alone() -> None:
    learned = learn(PUBLISHED, beagles(5, 1.1))

    assert learned.offsets[G, HeadType.SHORT] == PUBLISHED.offsets[G, HeadType.SHORT]
    assert learned.offsets[G, MEDIUM].mean > 0


def test_a_breed_with_figures_of_its_own_teaches_nothing_of_its_head_type() -> None:
    order = Finished(Dog("Ca de Bou", 34), {F: 640.0})

    assert learn(PUBLISHED, [order]).offsets == PUBLISHED.offsets


def test_many_orders_sharpen_within_bounds() -> None:
    learned = learn(PUBLISHED, beagles(4000, 1.25))
    offset = learned.of(G, MEDIUM)

    assert offset.mean <= MOST_SHIFT.value * MIDDLE_OWN[G].value
    assert offset.variance == pytest.approx(LEAST_SPREAD.value**2)
    before = picture(subject_of(Dog("Beagle", 12)), Field)
    after = picture(subject_of(Dog("Beagle", 12)), Field, learned)
    for place in range(4):
        assert (
            0.6 * NARROWEST.value**2
            < after.covariance[place][place] / before.covariance[place][place]
            < 1
        )


def test_one_wrong_record_cannot_move_much() -> None:
    slip = Finished(Dog("Beagle", 12), {G: 3390.0})

    assert learn(PUBLISHED, [slip]).of(G, MEDIUM).mean < MIDDLE_OWN[G].value


def test_learning_brings_the_usual_nearer_to_the_shops_dogs() -> None:
    def usual(prior: Prior) -> float:
        (finding,) = diagnose(Dog("Beagle", 12), {G: 100.0}, CM, prior=prior).findings
        return sqrt((finding.expected_low_mm or 0) * (finding.expected_high_mm or 0))

    before, after = usual(PUBLISHED), usual(learn(PUBLISHED, beagles(30, 1.08)))

    assert before == pytest.approx(339, abs=1)
    assert 350 < after < 339 * 1.08


def test_the_spread_is_learned_by_the_conjugate_update_and_within_bounds() -> None:
    order = Finished(Dog("Beagle", 12), {N: 110.0, G: 380.0, P: 100.0, F: 350.0})
    shape = picture(subject_of(order.dog), Field)
    off = np.array([log(order.lengths[field]) for field in Field]) - np.array(shape.mean)
    squared = float(off @ np.linalg.solve(np.array(shape.covariance), off))
    once = learn(PUBLISHED, [order])

    assert PUBLISHED.breadth == 1
    assert once.seen == 4
    assert once.squared == pytest.approx(squared)
    trust = SPREAD_TRUST.value
    assert once.breadth == pytest.approx((trust + squared) / (trust + 4))
    assert learn(PUBLISHED, beagles(4000)).breadth == pytest.approx(NARROWEST.value**2)
    wide = [Finished(Dog("Beagle", 12), {G: 500.0, F: 270.0})]
    assert learn(PUBLISHED, wide * 100).breadth == pytest.approx(WIDEST.value**2)
    assert learn(PUBLISHED, wide).squared <= 2 * FARTHEST.value**2


def test_a_shop_of_dogs_that_are_alike_is_asked_sooner() -> None:
    dog, lengths = DOGS[0]
    doubtful = {**lengths, G: lengths[G] * 0.70}

    assert diagnose(dog, doubtful, CM).severity is None
    alike = learn(PUBLISHED, beagles(60))
    assert diagnose(dog, doubtful, CM, prior=alike).severity is Severity.QUERY
    assert diagnose(dog, lengths, CM, prior=alike).severity is None


@st.composite
def learned(draw: st.DrawFn) -> Prior:
    orders = [
        Finished(dog, {field: mm * draw(reals(0.7, 1.5)) for field, mm in lengths.items()})
        for dog, lengths in draw(st.lists(st.sampled_from(DOGS), max_size=4))
    ]
    return learn(PUBLISHED, orders * draw(st.integers(1, 40)))


@given(learned(), st.sampled_from(DOGS), st.sampled_from(Field), reals(0.2, 4))
def test_no_warning_is_ever_left_out_by_learning(
    prior: Prior, case: tuple[Dog, Lengths], field: Field, factor: float
) -> None:
    dog, lengths = case
    written = {**lengths, field: lengths[field] * factor}
    published = diagnose(dog, written, CM)
    sharpened = diagnose(dog, written, CM, prior=prior)

    assert RANK[sharpened.severity] >= RANK[published.severity]
    assert bool(sharpened.findings) == (sharpened.severity is not None)
