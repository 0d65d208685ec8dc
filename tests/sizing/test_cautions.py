"""What the maker is told about the fit before the yarn is cut."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.cautions import Caution, told_apart
from sizing.checks import Severity
from sizing.dogs import Dog, Risk
from sizing.fitted import Fit
from sizing.gauge import Swatch
from sizing.plan import Request, make_plan
from sizing.stretch import StretchTest
from sizing.units import LengthUnit
from sizing.wearing import Verdict, Zone
from sizing.yarns import WeightClass
from tests.sizing.builders import COTTON_BLEND, request, spaniel, yarn
from tests.sizing.strategies import requests

SWATCH = Swatch(12.5, 14.3, 12.5, 14.1)


def fit_of(order: Request) -> Fit:
    fit = make_plan(order).fit
    assert fit
    return fit


def about(what: str, order: Request) -> list[Caution]:
    return [caution for caution in fit_of(order).cautions if caution.about == what]


def test_a_usual_dog_with_a_swatch_needs_no_caution() -> None:
    assert fit_of(request(swatch=SWATCH)).cautions == ()


@pytest.mark.parametrize(
    ("risks", "said"),
    [
        ({Risk.SHORT_NOSED}, "A short-nosed dog: no firm ribbing."),
        ({Risk.EYE_OR_THROAT}, "A dog with eye or throat trouble: no firm ribbing."),
        ({Risk.SHORT_NOSED, Risk.EYE_OR_THROAT}, "A short-nosed dog with eye or throat trouble:"),
    ],
)
def test_firm_ribbing_is_queried_for_a_dog_that_should_feel_no_pressure(
    risks: set[Risk], said: str
) -> None:
    # Bailey, Packer and Wills 2025, Vet Med Sci 11(3); Pauli et al. 2006, JAAHA 42:207-211.
    dog = Dog(weight_kg=14, risks=frozenset(risks))

    first = about("collar", request(dog=dog, swatch=SWATCH))[0]

    assert first.severity is Severity.QUERY
    assert first.message.startswith(said)
    assert "half of the usual pull, 11% stretched when worn" in first.message
    assert "Pauli" in first.basis


@pytest.mark.parametrize(("unit", "shown"), [(LengthUnit.CM, "cm"), (LengthUnit.INCH, "in")])
def test_a_collar_that_does_not_pass_the_head_comes_with_both_remedies(
    unit: LengthUnit, shown: str
) -> None:
    body = replace(spaniel(), head_girth=spaniel().neck_girth * 1.35)
    order = replace(request(body, wool=yarn(COTTON_BLEND), swatch=SWATCH), unit=unit)

    (told,) = about("head", order)

    passage = fit_of(order).passage
    assert passage.looser
    assert passage.buttoned
    assert told.severity is Severity.QUERY
    assert f"{passage.looser.collar_rows} rows and" in told.message
    assert f"{passage.buttoned.overlap_rows} rows more for an overlap" in told.message
    assert f" {shown}" in told.message
    assert "Ask for the widest girth" not in told.message  # it was measured


def test_a_head_that_may_just_pass_is_a_note_and_asks_for_its_girth() -> None:
    (told,) = about("head", request())  # no swatch, no head girth

    assert told.severity is Severity.NOTE
    assert "Try the strip on before the hood is begun. Ask for the widest girth" in told.message


def test_a_rib_that_stays_long_makes_a_loose_collar() -> None:
    test = StretchTest(relaxed=100, tug=104, limit=130, after=112)
    order = request(wool=yarn(COTTON_BLEND), swatch=replace(SWATCH, stretch=test))

    told = [caution.message for caution in about("collar", order)]

    assert any("stays 12% longer" in message for message in told)


def test_a_swatch_that_was_pulled_too_far_is_asked_after() -> None:
    test = StretchTest(relaxed=100, tug=125, limit=160, after=145)

    (told,) = about("collar", request(swatch=replace(SWATCH, stretch=test)))

    assert told.severity is Severity.QUERY
    assert "stayed 45% longer" in told.message


@given(st.floats(0.01, 2), st.floats(0, 0.1))
def test_what_is_over_a_limit_never_reads_like_it(most: float, more: float) -> None:
    over, limit = told_apart(most + more, most)

    assert over != limit


def test_a_share_is_told_in_whole_percents_where_that_tells_it_apart() -> None:
    assert told_apart(0.32, 0.3) == ("32%", "30%")
    assert told_apart(0.3021, 0.3) == ("30.2%", "30.0%")
    assert told_apart(0.3000001, 0.3) == ("a little more", "30%")


def test_a_rib_that_springs_back_does_not() -> None:
    test = StretchTest(relaxed=100, tug=127, limit=160, after=102)

    assert about("collar", request(swatch=replace(SWATCH, stretch=test))) == []


@given(requests())
@settings(max_examples=80)
def test_every_zone_that_is_not_comfortable_is_spoken_of(order: Request) -> None:
    fit = fit_of(order)

    spoken = {caution.about for caution in fit.cautions}
    for worn in fit.zones:
        if worn.verdict is not Verdict.COMFORTABLE:
            assert worn.zone.value in spoken
        elif worn.zone is not Zone.COLLAR:
            assert worn.zone.value not in spoken
    assert ("head" in spoken) or fit.passage.passes
    for caution in fit.cautions:
        assert caution.severity is not Severity.STOP  # a fit blocks nothing
        assert caution.message.endswith(".")
        assert "-" not in caution.message.replace("short-nosed", "")  # no share below nothing


def test_a_yarn_too_thick_for_a_toy_is_told_by_zone() -> None:
    toy = replace(spaniel(), neck_girth=170, neck_length=50, nape_length=55, face_girth=165)
    order = request(toy, dog=Dog(weight_kg=2), wool=yarn(weight_class=WeightClass.JUMBO))

    fit = fit_of(order)

    wrong = {worn.zone.value for worn in fit.zones if worn.verdict is not Verdict.COMFORTABLE}
    assert wrong
    assert wrong <= {caution.about for caution in fit.cautions}
