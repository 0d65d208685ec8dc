"""Figures in words."""

from datetime import date

import pytest

from documents.figures import (
    date_text,
    fibres_text,
    hook_text,
    minutes_text,
    spread_text,
    tolerance_text,
    yarn_length_text,
)
from sizing.material import Spread
from sizing.units import LengthUnit
from sizing.yarns import Fibre


@pytest.mark.parametrize(
    ("mm", "shown"),
    [
        (2.25, "2.25 mm (US B-1)"), (3.5, "3.5 mm (US E-4)"), (4.5, "4.5 mm (US 7)"),
        (5.0, "5.0 mm (US H-8)"), (6.5, "6.5 mm (US K-10½)"), (10.0, "10.0 mm (US N/P-15)"),
        (7.0, "7.0 mm"), (12.0, "12.0 mm"),
    ],
)  # fmt: skip
def test_a_hook_has_its_label_beside_the_millimetres(mm: float, shown: str) -> None:
    assert hook_text(mm) == shown


def test_a_date_cannot_be_read_two_ways() -> None:
    assert date_text(date(2026, 3, 4)) == "4 March 2026"


def test_minutes_become_hours() -> None:
    assert minutes_text(59.4) == "59 min"
    assert minutes_text(59.6) == "1 h 00 min"
    assert minutes_text(125) == "2 h 05 min"


def test_amounts_tell_their_spread() -> None:
    spread = Spread(61.2, 94.4, 111.9)

    assert spread_text(spread, "g") == "94 g (61 to 112)"
    assert yarn_length_text(spread, LengthUnit.CM) == "94 m (61 to 112)"
    assert yarn_length_text(spread, LengthUnit.INCH) == "103 yd (67 to 122)"


def test_a_tolerance_is_never_nothing() -> None:
    assert tolerance_text(7.1, LengthUnit.CM) == "± 0.7 cm"
    assert tolerance_text(0.2, LengthUnit.INCH) == "± 1/8 in"
    assert tolerance_text(0.2, LengthUnit.CM) == "± 0.1 cm"


def test_fibres_stand_with_the_largest_share_first() -> None:
    fibres = ((Fibre.COTTON, 20), (Fibre.WOOL, 60), (Fibre.ACRYLIC, 20))

    assert fibres_text(fibres) == "60 % wool, 20 % acrylic, 20 % cotton"
