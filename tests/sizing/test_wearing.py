"""Strain as worn, the way over the head, and how sure both are."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.dogs import Coat, Dog, Measurements, Risk
from sizing.errors import ValueOutOfRangeError
from sizing.fit import reduction, target
from sizing.gauge import Gauge, default_gauge
from sizing.plan import Fit, make_plan
from sizing.stretch import StretchTest, by_fibre, stretch_of
from sizing.surety import Source, errors_of, surety_of, within
from sizing.units import millimetres
from sizing.wearing import Verdict, Worn, Zone, collar_band, passage_of, zones_of
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


def test_without_a_measured_head_the_face_girth_is_what_the_collar_must_pass() -> None:
    fit = fit_of()

    assert not fit.passage.measured
    assert fit.passage.head_mm == request().measurements.face_girth
    assert fit.passage.passes
    assert fit.passage.looser is None
    assert fit.passage.buttoned is None


def drawn(worn: Worn, risks: frozenset[Risk], errors: dict[Source, float], n: int) -> float:
    """The share of draws within the band: every error drawn, nothing linearised."""
    dice = np.random.default_rng(20270301)
    give = by_fibre(yarn())
    body, made = {
        Zone.COLLAR: (Source.NECK, Source.RIB_GAUGE),
        Zone.NAPE: (Source.NAPE, Source.PLAIN_GAUGE),
        Zone.OPENING: (Source.FACE, Source.PLAIN_GAUGE),
    }[worn.zone]
    lengths = worn.body_mm * (1 + errors[body] * dice.standard_normal(n))
    fabric = worn.finished_mm * (1 + errors[made] * dice.standard_normal(n))
    strain = lengths / fabric - 1
    low, high = worn.low, np.full(n, worn.high)
    if worn.zone is Zone.COLLAR:
        tug = give.tug * (1 + errors[Source.STRETCH] * dice.standard_normal(n))
        limit = give.limit * (1 + errors[Source.STRETCH] * dice.standard_normal(n))
        high = np.maximum(tug, 0.08) if risks else tug + (limit - tug) / 2
    return float(np.mean((strain >= low) & (strain <= high)))


@pytest.mark.parametrize("tested", [True, False])
@pytest.mark.parametrize("risks", [NONE, frozenset({Risk.SHORT_NOSED})])
@pytest.mark.parametrize("coat", [Coat.SMOOTH, Coat.THICK])
@pytest.mark.parametrize("neck", [190, 355, 620])
def test_the_closed_form_agrees_with_100_000_draws(
    neck: float, coat: Coat, risks: frozenset[Risk], *, tested: bool
) -> None:
    give = by_fibre(yarn())
    body = Measurements(neck * 0.22, neck, neck * 0.32, neck * 1.07)
    made = target(body, reduction(give, risks))
    errors = errors_of(Dog(coat=coat), risks, give, tested=tested)

    for worn in zones_of(body, made, give, risks):
        exact = drawn(worn, risks, errors, 100_000)
        assert within(worn, give, risks, errors) == pytest.approx(exact, abs=0.02)


def test_a_swatch_is_what_helps_most_while_there_is_none() -> None:
    assert fit_of().surety.again in {Source.PLAIN_GAUGE, Source.RIB_GAUGE}


@given(st.sampled_from(Source), st.floats(0.1, 0.9))
def test_the_advice_is_the_source_with_the_largest_gain(source: Source, part: float) -> None:
    give = by_fibre(yarn())
    zones = zones_of(spaniel(), target(spaniel(), reduction(give, NONE)), give, NONE)
    errors = errors_of(Dog(), NONE, give, tested=False)
    errors[source] *= part

    surety = surety_of(zones, give, NONE, errors)

    def gain(one: Source) -> float:
        surer = {**errors, one: errors[one] / 2}
        now = {sure.zone: sure.probability for sure in surety.zones}
        return max(within(worn, give, NONE, surer) - now[worn.zone] for worn in zones)

    if surety.again is None:
        assert all(gain(one) <= 0.02 for one in Source)
    else:
        assert surety.gain == pytest.approx(max(map(gain, Source)))
        assert gain(surety.again) == pytest.approx(surety.gain)


def test_a_gentle_collar_of_steady_yarn_has_room_for_a_gauge_error() -> None:
    low, high = collar_band(by_fibre(yarn(BLEND)), GENTLE)

    assert low < 0
    assert high == pytest.approx(0.08)


def test_a_thick_coat_makes_the_tape_less_sure() -> None:
    give = by_fibre(yarn())
    smooth, thick = (
        errors_of(Dog(coat=coat), NONE, give, tested=True)
        for coat in Coat
        if coat is not Coat.MEDIUM
    )

    assert thick[Source.NECK] > smooth[Source.NECK]


def test_the_gauge_of_a_swatch_is_surer_than_that_of_a_class() -> None:
    gauge = Gauge(13, 15, 13, 14.5, tested=True)
    give = by_fibre(yarn())
    tested = errors_of(Dog(), NONE, give, tested=gauge.tested)

    assert tested[Source.RIB_GAUGE] < errors_of(Dog(), NONE, give, tested=False)[Source.RIB_GAUGE]
