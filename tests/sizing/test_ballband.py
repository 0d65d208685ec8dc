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


@pytest.mark.parametrize(
    ("metres", "grams", "said"),
    [
        (1700, 100, "Is a point one place off: 170 m, or 1000 g?"),
        (17, 100, "Is a point one place off: 170 m, or 10 g?"),
        (50, 110, "Are the two exchanged: 110 m in 50 g?"),
        (700, 100, "It looks like class 0: is the class right?"),
        (30, 100, "It looks like class 7: is the class right?"),
    ],
)
def test_a_slip_is_told(metres: float, grams: float, said: str) -> None:
    (found,) = ball_findings(yarn(metres=metres, grams=grams))
    assert found.severity is Severity.QUERY
    assert said in found.message


def test_a_plan_carries_the_query_and_is_made() -> None:
    odd = replace(request(), yarn=yarn(metres=2000))
    assert [one.field for one in make_plan(odd).findings] == ["ball"]
    assert make_plan(request()).findings == ()
