"""Lengths as they are shown again: on the ticket, beside a field, in a sentence."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.units import LengthUnit, inches, millimetres, read_length, show_length, show_span
from tests.sizing.strategies import reals

CM, INCH = LengthUnit.CM, LengthUnit.INCH


@given(reals(0.5, 3000.0))
def test_a_length_shown_in_cm_reads_back_within_a_quarter_millimetre(mm: float) -> None:
    back = read_length(show_length(mm, CM), CM).value

    assert abs(back - mm) <= 0.25 + 1e-9
    assert round(back * 2) == pytest.approx(back * 2)


@given(reals(2.0, 2990.0))
def test_a_length_shown_in_inches_reads_back_within_a_sixteenth(mm: float) -> None:
    back = read_length(show_length(mm, INCH), INCH).value

    assert abs(back - mm) <= 25.4 / 16 + 1e-9
    assert inches(back) * 8 == pytest.approx(round(inches(back) * 8))


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (368.3, CM, "36.85 cm"),
        (368, CM, "36.8 cm"),
        (280, CM, "28.0 cm"),
        (1000, CM, "100.0 cm"),
        (368.3, INCH, "14 1/2 in"),
        (355.6, INCH, "14 in"),
        (19.05, INCH, "3/4 in"),
        (279.4, INCH, "11 in"),
        (25.4 * 3.99, INCH, "4 in"),
    ],
)
def test_a_length_is_shown_in_half_millimetres_or_eighths(
    mm: float, unit: LengthUnit, text: str
) -> None:
    assert show_length(mm, unit) == text


@pytest.mark.parametrize(
    ("low", "high", "unit", "text"),
    [
        (304.6, 572.4, CM, "31 to 57 cm"),
        (304.6, 572.4, INCH, "12 to 22 1/2 in"),
        (23.1, 129.0, CM, "3 to 12 cm"),
        (21.0, 29.0, CM, "2.1 to 2.9 cm"),
    ],
)
def test_a_span_is_spoken_in_whole_cm_or_quarter_inches(
    low: float, high: float, unit: LengthUnit, text: str
) -> None:
    assert show_span(low, high, unit) == text


@given(reals(30.0, 490.0), reals(1.2, 6.0), st.sampled_from(LengthUnit))
def test_a_spoken_span_never_reaches_beyond_the_real_one(
    low: float, ratio: float, unit: LengthUnit
) -> None:
    spoken = show_span(low, low * ratio, unit).removesuffix(f" {unit}")
    first, last = (read_length(f"{end} {unit}", unit).value for end in spoken.split(" to "))

    rounding = 25.4 / 16 if unit is INCH else 0.25
    assert low - rounding <= first <= last <= low * ratio + rounding


def test_inches_and_millimetres_undo_each_other() -> None:
    assert millimetres(14.5) == 368.3
    assert inches(368.3) == 14.5
