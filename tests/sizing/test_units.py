import re
import subprocess
import sys
from fractions import Fraction

import pint
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from sizing.errors import NotationError
from sizing.units import (
    HEAVIEST,
    LIGHTEST,
    MM_PER_INCH,
    LengthUnit,
    read_length,
    read_weight,
)

CM, INCH = LengthUnit.CM, LengthUnit.INCH
UREG: pint.UnitRegistry[float] = pint.UnitRegistry()


def test_an_inch_is_as_long_as_pint_has_it() -> None:
    exact: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)
    inch = exact.Quantity(Fraction(1), "inch").m_as("millimeter")
    assert Fraction(str(MM_PER_INCH.value)) == inch


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("36.8 cm", 368),
        ("36,8 cm", 368),
        ("36.8cm", 368),
        ("36.8 CM", 368),
        ("368 mm", 368),
        ("0.368 m", 368),
        ("0,368 m", None),  # thousands or decimals
        ("36.8 centimetres", 368),
        ("36.8 centimeters", 368),
        ("368 millimetres", 368),
        ("14 1/2 in", 368.3),  # an inch is 25.4 mm exactly, agreement of 1959
        ("14-1/2 in", 368.3),
        ('14-1/2"', 368.3),
        ("14 - 1/2 in", 368.3),
        ("14½ in", 368.3),
        ("14 ½ in", 368.3),
        ("14\u00a01/2\u00a0in", 368.3),
        ("14 1\u20442 in", 368.3),
        ("14.5 in", 368.3),
        ("14,5 in", 368.3),
        ("14½”", 368.3),
        ("14 1/2 inches", 368.3),
        ("14 in.", 355.6),
        ("14 inch", 355.6),
        ("14''", 355.6),
        ("14″", 355.6),
        ("¾ in", 19.05),
        ("3/4 in", 19.05),
        ("7/8 in", 22.225),
        ("1 ft 2 in", 355.6),
        ("1ft 2in", 355.6),
        ("1' 2\"", 355.6),
        ("1\u20192\u201d", 355.6),
        ("1 foot 2 1/2 inches", 368.3),
        ("1 ft", 304.8),
        ("1.5 ft", 457.2),
        ("  36.8 cm ", 368),
    ],
)
def test_a_length_is_read_as_people_write_it(text: str, mm: float | None) -> None:
    if mm is None:
        with pytest.raises(NotationError, match="thousands or decimals"):
            read_length(text, CM)
        return
    for unit in LengthUnit:
        assert read_length(text, unit).value == mm


@pytest.mark.parametrize(
    ("text", "unit", "mm"),
    [
        ("36.8", CM, 368),
        ("36,8", CM, 368),
        ("14", INCH, 355.6),
        ("14 1/2", INCH, 368.3),
        ("14½", INCH, 368.3),
        ("14-1/2", INCH, 368.3),
        ("14.5", INCH, 368.3),
    ],
)
def test_a_bare_number_is_in_the_orders_own_unit(text: str, unit: LengthUnit, mm: float) -> None:
    assert read_length(text, unit).value == mm


def test_the_text_is_kept_as_given_beside_the_value() -> None:
    assert read_length("  14½ in ", CM).text == "14½ in"
    assert read_weight(" 26 lb 4 oz").text == "26 lb 4 oz"


REFUSED = [
    "", " ", "cm", "in", "-5 cm", "- 5 cm", "\u22125 cm", "\u20135 cm", "+5 cm", "0", "0 cm",
    "0.0 in", "0 0/2 in", "nan", "NaN cm", "inf", "infinity cm", "1e400", "1e400 cm", "1e2 cm",
    "9**9**9 cm", "3*12 cm", "2+2 cm", "(36) cm", "36/2 cm", "sqrt(4) cm", "__import__('os')",
    "12 kg", "26 lb 4 oz", "36 cm 8 mm", "36.8 cm tall", "about 36 cm", "36.8 cm; 14 in",
    "36-37 cm", "36\u201337 cm", "36 to 37 cm", "~36 cm", "36?", "36 8 cm", "36,8,1 cm",
    "36.8.1 cm", "36..8 cm", ".5 cm", "36. cm", "3,680 mm", "1,000", "1 000 mm", "14 1/3 in",
    "14 5/4 in", "14 0/4 in", "14 1/0 in", "14 2/2 in", "14 1/2/3 in", "14 1/2 cm", "14½ cm",
    "1 ft 12 in", "1 ft 14 in", "1 ft 30 cm", "1.5 ft 2 in", "14 in 1 ft", "1 yd", "36 furlong",
    "٣٦ cm", "\uff13\uff16 cm", "३६ cm", "36² cm", "Ⅻ in", "36 см", "36 cm\x00", "<b>36</b> cm",
    "3001 mm", "300.1 cm", "10 ft", "999999 cm", "1234567 mm",
    "1" * 10_000, "36.8 cm" + " " * 10_000, " " * 10_000 + "36.8 cm",
]  # fmt: skip


@pytest.mark.parametrize("text", REFUSED, ids=lambda text: ascii(text[:20]))
@pytest.mark.parametrize("unit", LengthUnit)
def test_what_is_not_surely_one_length_is_refused(text: str, unit: LengthUnit) -> None:
    with pytest.raises(NotationError) as caught:
        read_length(text, unit)

    assert "Write it like this" in str(caught.value)
    assert len(str(caught.value)) < 250
    assert len(caught.value.text) <= 60


def test_each_refusal_shows_examples_that_can_be_read() -> None:
    with pytest.raises(NotationError) as length:
        read_length("a hand", CM)
    with pytest.raises(NotationError) as weight:
        read_weight("a lot")

    assert [read_length(text, CM).value for text in re.split(", | or ", length.value.example)] == [
        368, 368, 368.3,
    ]  # fmt: skip
    shown = re.split(", | or ", weight.value.example)
    assert [read_weight(text).value for text in shown[:2]] == [12, 12.5]
    assert read_weight(shown[2]).value == pytest.approx(26.25 * 0.45359237)


def test_a_fraction_without_a_unit_is_not_taken_for_centimetres() -> None:
    with pytest.raises(NotationError, match="Is it inches"):
        read_length("14 1/2", CM)


@pytest.mark.parametrize(
    ("text", "kg"),
    [
        ("12 kg", 12),
        ("12kg", 12),
        ("12,5 kg", 12.5),
        ("12.5 kilos", 12.5),
        ("12 kilograms", 12),
        ("900 g", 0.9),
        # The international pound is 0.45359237 kg exactly, agreement of 1959.
        ("26 lb", 26 * 0.45359237),
        ("26 lbs", 26 * 0.45359237),
        ("26½ lb", 26.5 * 0.45359237),
        ("26 lb 4 oz", 26.25 * 0.45359237),
        ("26 pounds 4 ounces", 26.25 * 0.45359237),
        ("64 oz", 4 * 0.45359237),
    ],
)
def test_a_weight_is_read_as_people_write_it(text: str, kg: float) -> None:
    assert read_weight(text).value == pytest.approx(kg, rel=1e-12)


@pytest.mark.parametrize(
    "text",
    ["12", "12 cm", "-12 kg", "0 kg", "12 g", "nan kg", "1e400 kg", "9**9 kg", "26 lb 16 oz",
     "26 lb 4", "12-14 kg", "1,250 kg", "200 kg", "400 lb", "١٢ kg", "", "1" * 10_000],
    ids=lambda text: ascii(text[:20]),
)  # fmt: skip
def test_what_is_not_surely_one_dogs_weight_is_refused(text: str) -> None:
    with pytest.raises(NotationError, match="Write it like this"):
        read_weight(text)


@given(
    number=st.decimals("0.1", "110", places=2),
    unit=st.sampled_from(["mm", "cm", "in", "inch", "inches"]),
)
def test_plain_forms_agree_with_pints_own_units(number: object, unit: str) -> None:
    text = f"{number} {unit}"

    assert read_length(text, CM).value == pytest.approx(
        UREG.Quantity(float(str(number)), unit).to("mm").magnitude, rel=1e-12
    )


def test_the_traps_of_pints_own_parser_are_not_ours() -> None:
    # pint 0.25 reads these as 7 in, 365 cm and 14 in.
    assert read_length("14 1/2 in", CM).value == 368.3
    assert read_length("36,5 cm", CM).value == 365
    assert read_length("14½ in", CM).value == 368.3


@given(st.integers(1, 117), st.integers(0, 63))
def test_inches_on_the_tape_are_read_exactly(whole: int, parts: int) -> None:
    exact = float((whole + Fraction(parts, 64)) * Fraction(254, 10))
    fraction = Fraction(parts, 64)
    text = f"{whole} {fraction} in" if parts else f"{whole} in"

    assert read_length(text, CM).value == exact


PIECES = st.sampled_from(
    ["1", "36", "8", "0", ".", ",", "-", " ", "/", "1/2", "½", "cm", "mm", "m", "in", '"', "'",
     "ft", "''", "e", "**", "nan", "inf", "kg", "lb", "oz", "٣", "²", "\u2044", "\x00", "İ"]
)  # fmt: skip


@given(
    st.one_of(st.text(), st.lists(PIECES, max_size=9).map("".join)), st.sampled_from(LengthUnit)
)
@example("½" * 40, CM)
@example("1/2" * 13, INCH)
def test_any_text_is_a_sane_length_or_refused(text: str, unit: LengthUnit) -> None:
    try:
        reading = read_length(text, unit)
    except NotationError as refusal:
        assert str(refusal)  # noqa: PT017 - both ways out are right, and nothing else is
    else:
        assert 0 < reading.value <= 3000
        assert reading.text == text.strip()


@given(st.one_of(st.text(), st.lists(PIECES, max_size=9).map("".join)))
def test_any_text_is_a_sane_weight_or_refused(text: str) -> None:
    try:
        reading = read_weight(text)
    except NotationError as refusal:
        assert str(refusal)  # noqa: PT017 - both ways out are right, and nothing else is
    else:
        assert LIGHTEST.value <= reading.value <= HEAVIEST.value


@pytest.mark.parametrize(
    "text",
    ["1" * 100_000, " " * 100_000, "1 " * 50_000, "1/" * 50_000, "½" * 100_000, "-" * 100_000,
     "1 ft " * 20_000, "''" * 50_000, "1." * 20, "1-1/2-" * 6 + "in", "' " * 20, " - " * 13],
    ids=lambda text: f"{text[:6]!r} x {len(text)}",
)  # fmt: skip
def test_a_pathological_text_is_refused_without_being_searched(text: str) -> None:
    # Were a pattern to backtrack over these, the run would not come to an end.
    with pytest.raises(NotationError):
        read_length(text, CM)
    with pytest.raises(NotationError):
        read_weight(text)


TOGETHER = """
import sys
from threading import Barrier, Thread
import pint
made, begin = [], pint.UnitRegistry.__init__
def counted(self, *given, **told):
    made.append(self)
    begin(self, *given, **told)
pint.UnitRegistry.__init__ = counted
from sizing.units import LengthUnit, read_length
start, read = Barrier(4), []
def ask():
    start.wait()
    read.append(read_length("14 1/2 in", LengthUnit.CM).value)
threads = [Thread(target=ask) for _ in range(4)]
for one in threads: one.start()
for one in threads: one.join()
print(len(made), *read)
"""


def test_however_many_ask_first_the_units_are_read_once() -> None:
    # Four requests that come at once after a start each read them before, for two seconds.
    told = subprocess.run(  # noqa: S603 - our own
        [sys.executable, "-c", TOGETHER], capture_output=True, text=True, check=True, timeout=60
    )
    assert told.stdout.split() == ["1", *["368.3"] * 4]
