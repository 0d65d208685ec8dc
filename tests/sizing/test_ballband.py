"""Ball bands that can hardly be, found; the table's own in peace."""

from dataclasses import replace

import pytest

from sizing.ballband import PER_100_G, ball_findings
from sizing.doctor.findings import Severity
from sizing.plan import make_plan
from sizing.yarns import WeightClass
from tests.sizing.builders import request, yarn


@pytest.mark.parametrize("weight_class", WeightClass)
@pytest.mark.parametrize("end", [0, 1])
def test_the_table_s_own_yarns_are_not_asked_after(weight_class: WeightClass, end: int) -> None:
    per_100 = PER_100_G[weight_class][end].value
    assert ball_findings(yarn(weight_class=weight_class, metres=per_100, grams=100)) == ()
    assert ball_findings(yarn(weight_class=weight_class, metres=per_100 / 2, grams=50)) == ()


def test_a_slip_is_told() -> None:
    usual = "for class 4: 120 to 240 m in 100 g would be usual."
    told = {
        (1700, 100): f"1700 m in a ball of 100 g is much {usual} Is a point one place off: 170 m,"
        " or 1000 g?",
        (17, 100): f"17 m in a ball of 100 g is little {usual} Is a point one place off: 170 m, or"
        " 10 g?",
        (50, 110): f"50 m in a ball of 110 g is little {usual} Are the two exchanged: 110 m in"
        " 50 g?",
        (700, 100): f"700 m in a ball of 100 g is much {usual} It looks like class 0: is the class"
        " right?",
        (17000, 100): f"17000 m in a ball of 100 g is much {usual} It looks like class 0: is the"
        " class right?",
        (30, 100): f"30 m in a ball of 100 g is little {usual} It looks like class 7: is the class"
        " right?",
        (530, 100): f"530 m in a ball of 100 g is much {usual} It looks like class 1: is the class"
        " right?",
    }
    for (metres, grams), said in told.items():
        (found,) = ball_findings(yarn(metres=metres, grams=grams))
        assert found.severity is Severity.QUERY
        assert found.message == said


def test_twice_beyond_the_range_is_not_asked_after_and_more_is() -> None:
    for metres, odd in ((480, False), (485, True), (60, False), (59.5, True)):
        assert bool(ball_findings(yarn(metres=metres))) is odd


def test_a_plan_carries_the_query_and_is_made() -> None:
    odd = replace(request(), yarn=yarn(metres=2000))
    assert [one.field for one in make_plan(odd).findings] == ["ball"]
    assert make_plan(request()).findings == ()
