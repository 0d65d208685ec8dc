"""The table of slips."""

from math import exp, log

import pytest

from sizing.doctor import Kind
from sizing.doctor.slips import PRIORS, digits_swapped, slips
from sizing.dogs import Field
from sizing.units import LengthUnit
from tests.sizing.doctor.kennel import BEAGLE, F, G, N, P

CM, INCH = LengthUnit.CM, LengthUnit.INCH


@pytest.mark.parametrize(
    ("mm", "unit", "meant"),
    [
        (340, CM, 430),
        (345, CM, 435),  # 34.5, 43.5
        (95, CM, 59),  # 9.5, 5.9
        (330, CM, None),  # the same twice
        (300, CM, None),  # 03 is not written
        (1050, CM, None),
        (914.4, CM, None),  # 36 in, given so in an order that speaks cm
        (24 * 25.4, INCH, 42 * 25.4),
        (14.5 * 25.4, INCH, 41.5 * 25.4),
        (9.5 * 25.4, INCH, None),
        (360, INCH, None),  # 36 cm, given so in an order that speaks inches
    ],
)
def test_two_digits_swapped(mm: float, unit: LengthUnit, meant: float | None) -> None:
    found = digits_swapped(mm, unit)

    assert found == (None if meant is None else pytest.approx(meant))
    if found:
        assert digits_swapped(found, unit) == pytest.approx(mm)


def test_the_priors_leave_most_orders_true() -> None:
    _, lengths = BEAGLE
    told = sum(PRIORS[slip.kind].value for slip in slips(lengths, CM))

    assert 0.05 < told < 0.15


def test_every_slip_leads_to_a_length() -> None:
    _, lengths = BEAGLE
    for slip in slips({**lengths, N: 250}, CM):
        for field, move in slip.moves:
            assert 0 < exp(log(lengths[field]) + move) < 4000


def test_girths_taken_alike_are_rarer_than_one_of_them() -> None:
    girths = [slip for slip in slips(BEAGLE[1], CM) if {f for f, _ in slip.moves} == {G, F}]

    assert [slip.kind for slip in girths if slip.kind is not Kind.SWAPPED] == [
        Kind.INCHES, Kind.CENTIMETRES, Kind.HALF,
    ]  # fmt: skip
    assert all(slip.measure < 0 for slip in girths if slip.kind is not Kind.SWAPPED)


def test_all_in_another_unit_is_the_less_likely_where_no_number_is_on_its_marks() -> None:
    def ends(lengths: dict[Field, float]) -> float:
        return next(s.marks for s in slips(lengths, CM) if s.kind is Kind.ALL_INCHES)

    assert ends({G: 141, F: 149}) < ends({G: 141, F: 142.5}) == 0


def test_each_kind_only_where_it_can_be() -> None:
    kinds = {slip.kind for slip in slips({N: 80}, CM)}

    assert Kind.HALF not in kinds
    assert Kind.ALL_INCHES not in kinds
    assert Kind.SWAPPED not in kinds
    assert Kind.NAPE_INCLUDED not in {slip.kind for slip in slips({N: 80, P: 100}, CM)}
    assert Kind.NAPE_INCLUDED in {slip.kind for slip in slips({N: 180, P: 100}, CM)}
    assert {slip.moves[0][0] for slip in slips(BEAGLE[1], CM) if slip.kind is Kind.HALF} == {G, F}


def test_how_a_number_ends_speaks_for_its_unit() -> None:
    def marks(mm: float, kind: Kind) -> float:
        return next(slip.marks for slip in slips({G: mm}, CM) if slip.kind is kind)

    assert marks(142.5, Kind.INCHES) > 0 > marks(145, Kind.INCHES) > marks(146, Kind.INCHES)
    assert marks(34 * 25.4, Kind.CENTIMETRES) == 0 > marks(880, Kind.CENTIMETRES)


def test_a_number_finer_than_people_read_may_have_lost_a_place() -> None:
    def marks(mm: float) -> float:
        return next(s.marks for s in slips({G: mm}, CM) if s.kind is Kind.TEN_TIMES_LESS)

    assert marks(34.5) > 0
    assert marks(35) == marks(34 * 25.4 / 4) == 0
