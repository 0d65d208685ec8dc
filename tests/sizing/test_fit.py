import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.dogs import Measurements, Risk
from sizing.fit import GENTLE_FOR, Reduction, reduction, target
from sizing.stretch import by_fibre
from sizing.yarns import Fibre, Yarn
from tests.sizing.builders import ACRYLIC, COTTON_BLEND, INCH, spaniel, yarn
from tests.sizing.strategies import yarns

NONE: frozenset[Risk] = frozenset()


def test_a_14_in_neck_is_2_to_3_in_shorter_in_springy_yarn() -> None:
    # common practice, no source
    less = reduction(by_fibre(yarn()), NONE)

    assert 2 <= 14 * less.collar <= 3 + 1e-9
    assert 14 * less.collar == pytest.approx(3)


def test_a_toys_8_in_neck_is_not_throttled_by_a_large_dogs_inches() -> None:
    toy = Measurements(50, 8 * INCH, 60, 9 * INCH)

    strip = target(toy, reduction(by_fibre(yarn()), NONE)).collar_girth

    assert strip == pytest.approx(8 * INCH * 11 / 14)
    assert strip > 8 * INCH - 2 * INCH  # the least of the inches for a 14 in neck


@given(yarns(), st.frozensets(st.sampled_from(Risk)))
def test_no_strip_is_longer_than_the_neck_or_shorter_than_by_a_quarter(
    wool: Yarn, risks: frozenset[Risk]
) -> None:
    less = reduction(by_fibre(wool), risks)

    assert 0 < less.collar < 0.25
    assert 0 < less.nape < less.collar


@pytest.mark.parametrize("risk", sorted(GENTLE_FOR))
@pytest.mark.parametrize("fibres", [ACRYLIC, COTTON_BLEND])
def test_a_short_nose_or_weak_eyes_halve_the_pull(
    risk: Risk, fibres: tuple[tuple[Fibre, int], ...]
) -> None:
    # Bailey, Packer and Wills 2025, Vet Med Sci 11(3); Pauli et al. 2006, JAAHA 42:207-211:
    # a collar raises the pressure in the eye. No limit is published, so: half, by judgement.
    usual, gentle = (
        reduction(by_fibre(yarn(fibres)), risks) for risks in (NONE, frozenset({risk}))
    )

    assert gentle.collar == pytest.approx(usual.collar / 2)
    assert gentle.nape == pytest.approx(usual.nape / 2)


@pytest.mark.parametrize("risk", sorted(set(Risk) - GENTLE_FOR))
def test_no_other_risk_changes_the_size(risk: Risk) -> None:
    assert reduction(by_fibre(yarn()), frozenset({risk})) == reduction(by_fibre(yarn()), NONE)


@given(st.integers(1, 98), st.integers(1, 98))
def test_more_steady_fibre_never_means_a_shorter_strip(one: int, two: int) -> None:
    def with_cotton(percent: int) -> Reduction:
        blend = yarn(((Fibre.COTTON, percent), (Fibre.WOOL, 100 - percent)))
        return reduction(by_fibre(blend), NONE)

    less, more = sorted((one, two))
    assert with_cotton(more).collar <= with_cotton(less).collar
    assert with_cotton(more).nape <= with_cotton(less).nape


def test_from_half_steady_fibre_on_a_yarn_counts_as_one_that_hardly_gives() -> None:
    half = reduction(by_fibre(yarn(COTTON_BLEND)), NONE)

    assert reduction(by_fibre(yarn(((Fibre.COTTON, 100),))), NONE) == half
    assert 14 * half.collar == pytest.approx(0.5)  # half an inch off a 14 in neck, by judgement


def test_collar_height_and_face_are_made_to_the_dogs_own_measure() -> None:
    aim = target(spaniel(), reduction(by_fibre(yarn()), NONE))

    assert aim.collar_height == spaniel().neck_length
    assert aim.face_opening == spaniel().face_girth
    assert aim.nape == pytest.approx(4 * INCH)
    assert aim.crown is None
