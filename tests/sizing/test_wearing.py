"""Strain as worn, the way over the head, and how sure both are."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.dogs import Measurements, Risk
from sizing.errors import ValueOutOfRangeError
from sizing.fit import reduction, target
from sizing.fitted import Fit
from sizing.gauge import default_gauge
from sizing.plan import make_plan
from sizing.stretch import StretchTest, by_fibre, stretch_of
from sizing.units import millimetres
from sizing.wearing import Verdict, Zone, collar_band, passage_of, zones_of
from sizing.yarns import Fibre
from tests.sizing.builders import request, spaniel, yarn

NONE: frozenset[Risk] = frozenset()
GENTLE = frozenset({Risk.SHORT_NOSED})
BLEND = ((Fibre.COTTON, 55), (Fibre.ACRYLIC, 45))


def fit_of() -> Fit:
    fit = make_plan(request()).fit
    assert fit is not None
    return fit


def test_a_light_tug_brings_an_11_in_acrylic_strip_to_a_14_in_neck() -> None:
    # Common practice, no source.
    strip = millimetres(11)
    assert strip * (1 + by_fibre(yarn()).tug) == pytest.approx(millimetres(14))


def test_2_to_3_in_short_of_a_14_in_neck_is_comfortable_in_acrylic() -> None:
    # Common practice, no source.
    low, high = collar_band(by_fibre(yarn()), NONE)
    assert all(low < 14 / strip - 1 < high for strip in (11, 11.5, 12))


def test_a_tested_swatch_goes_before_the_fibre() -> None:
    test = StretchTest(relaxed=100, tug=118, limit=140, after=101)
    give = stretch_of(yarn(), test)

    assert (give.tug, give.limit, give.growth) == pytest.approx((0.18, 0.4, 0.01))
    assert give.tested
    assert give.sd < by_fibre(yarn()).sd
    assert reduction(give, NONE).collar == pytest.approx(0.18 / 1.18)


def test_however_far_a_swatch_can_be_tugged_a_strip_is_no_shorter_than_practice_makes_it() -> None:
    give = stretch_of(yarn(), StretchTest(100, 180, 220, 100))

    assert reduction(give, NONE).collar == pytest.approx(3 / 14)


@pytest.mark.parametrize(
    "widths",
    [(100, 90, 140, 100), (100, 120, 110, 100), (0, 1, 2, 1), (100, 120, 400, 100),
     (100, 120, 140, 70), (100, 120, 140, 150), (float("nan"), 1, 1, 1)],
)  # fmt: skip
def test_widths_that_no_fabric_shows_are_refused(widths: tuple[float, ...]) -> None:
    with pytest.raises(ValueOutOfRangeError):
        StretchTest(*widths)


def test_a_hood_as_planned_is_comfortable_in_every_zone() -> None:
    fit = fit_of()

    assert [worn.zone for worn in fit.zones] == list(Zone)
    assert {worn.verdict for worn in fit.zones} == {Verdict.COMFORTABLE}


@given(st.floats(0, 0.6), st.floats(0, 0.6))
def test_a_gentle_dog_is_never_held_to_less_than_any_other(tug: float, more: float) -> None:
    give = stretch_of(yarn(), StretchTest(100, 100 * (1 + tug), 100 * (1 + tug + more), 100))
    usual, gentle = (collar_band(give, risks) for risks in (NONE, GENTLE))
    assert gentle[1] <= usual[1]


@pytest.mark.parametrize(
    ("widths", "said"),
    [
        ((100, 90, 160, 100), "never less"),
        ((100, 120, 310, 100), "more than 3 times its relaxed width"),
        ((100, 125, 160, 75), "measure it again"),
        ((100, 125, 160, 161), "measure it again"),
    ],
)
def test_what_no_swatch_shows_is_told_by_what_is_wrong_with_it(
    widths: tuple[float, float, float, float], said: str
) -> None:
    with pytest.raises(ValueOutOfRangeError, match=said):
        StretchTest(*widths)


def test_a_gentle_dog_is_never_worn_tighter_than_a_light_tug() -> None:
    usual, gentle = (collar_band(by_fibre(yarn()), risks) for risks in (NONE, GENTLE))

    assert gentle[1] == pytest.approx(by_fibre(yarn()).tug)
    assert gentle[1] < usual[1]
    assert gentle[0] == usual[0] < 0


@given(st.floats(100, 600), st.sampled_from([((Fibre.ACRYLIC, 100),), BLEND]))
def test_no_size_of_neck_is_strained_more_than_another(
    neck: float, fibres: tuple[tuple[Fibre, int], ...]
) -> None:
    give = by_fibre(yarn(fibres))
    body = Measurements(80, neck, 100, neck)
    aim = target(body, reduction(give, NONE))

    collar = zones_of(body, aim, give, NONE)[0]

    assert collar.strain == pytest.approx(give.tug)
    assert collar.verdict is Verdict.COMFORTABLE


def test_a_collar_that_cannot_pass_the_head_comes_with_two_remedies() -> None:
    give, gauge = by_fibre(yarn(BLEND)), default_gauge(yarn(BLEND))
    body = replace(spaniel(), head_girth=spaniel().neck_girth * 1.6)
    made = target(body, reduction(give, NONE))

    passage = passage_of(body, made, give, gauge)

    assert not passage.passes
    assert passage.measured
    assert passage.looser
    assert passage.looser.collar_rows % 2 == 0
    assert passage.looser.collar_girth * (1 + passage.limit) >= passage.head_mm
    assert passage.looser.worn_strain < 0
    assert passage.buttoned
    assert passage.buttoned.overlap_rows % 2 == 0
    assert passage.buttoned.overlap_mm >= 30
    assert passage.buttoned.buttonholes >= 1


def test_without_a_measured_head_a_little_over_the_face_girth_must_be_passed() -> None:
    fit = fit_of()

    assert not fit.passage.measured
    assert fit.passage.head_mm == pytest.approx(1.05 * request().measurements.face_girth)
    assert fit.passage.passes
    assert fit.passage.looser is None
    assert fit.passage.buttoned is None


def test_a_looser_collar_is_no_looser_than_the_head_asks() -> None:
    give, gauge = by_fibre(yarn(BLEND)), default_gauge(yarn(BLEND))
    body = replace(spaniel(), head_girth=spaniel().neck_girth * 1.4)

    passage = passage_of(body, target(body, reduction(give, NONE)), give, gauge)

    assert passage.looser
    two_less = passage.looser.collar_girth - 2 * gauge.rib_row_mm
    assert two_less * (1 + passage.limit) < passage.head_mm
    assert passage.looser.worn_strain == pytest.approx(
        body.neck_girth / passage.looser.collar_girth - 1
    )


@pytest.mark.parametrize(
    ("what", "least", "most"),
    [
        ("a sock: 10 percent, a knitters' group 10 to 15", 0.10, 0.15),
        ("a hat: 1 to 2 in off a head of 22 in", 1 / 22, 2 / 22),
    ],
)
def test_published_ease_lies_between_a_cotton_blends_and_stretchy_acrylics(
    what: str, least: float, most: float
) -> None:
    """Tutorials give ease for socks and hats only; a rib through the back loops gives more."""
    springy, blend = (
        reduction(by_fibre(yarn(fibres)), NONE).collar
        for fibres in (((Fibre.ACRYLIC, 100),), BLEND)
    )

    assert blend < least < most < springy, what
    gentle = reduction(by_fibre(yarn()), GENTLE).collar
    assert gentle < 0.15  # a dog that should feel no pressure gets no more than a sock's


def test_2_in_for_a_large_neck_would_throttle_a_toy_and_a_share_does_not() -> None:
    """8 in less 3 in is a strip strained by 0.6: as far as the rib goes with comfort at all."""
    give = by_fibre(yarn())
    toy = Measurements(50, millimetres(8), 60, millimetres(9))
    collar = zones_of(toy, target(toy, reduction(give, NONE)), give, NONE)[0]

    fixed = 8 / (8 - 3) - 1
    assert fixed > collar_band(give, NONE)[1]
    assert collar.strain == pytest.approx(3 / 11)
    assert collar.verdict is Verdict.COMFORTABLE
