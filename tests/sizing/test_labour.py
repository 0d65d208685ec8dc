import pytest
from hypothesis import given, settings

from sizing.gauge import Swatch
from sizing.labour import Labour, labour_of
from sizing.plan import Request, make_plan
from sizing.rates import FixedMinutes, Pace, Rates
from tests.sizing.builders import request
from tests.sizing.strategies import requests

SWATCH = Swatch(12.5, 14.3, 12.5, 14.1)
EVEN = Pace(chain=10, sc=10, sc_blo=10, dec=10, seam=10)
NO_TIME = FixedMinutes(swatch=0, per_end=0, trying_on=0, packing=0)


def labour(rates: Rates, swatch: Swatch | None = SWATCH) -> Labour:
    return make_plan(request(rates=rates, swatch=swatch)).labour


def minutes(found: Labour, name: str) -> float:
    return next(task.minutes for task in found.tasks if task.name == name)


def test_an_allowance_of_15_percent_of_the_shift_is_17_6_percent_of_the_work() -> None:
    # 29 CFR 525.12(h)(2)(ii): not less than 15 %, 9 minutes of an hour's shift.
    # Standard time = work / (1 - share of shift): 51 minutes of work make an hour.
    found = labour(Rates(allowance=0.15))

    rest = minutes(found, "rest and interruptions")
    work = found.minutes - rest
    assert rest / found.minutes == pytest.approx(0.15)
    assert rest / work == pytest.approx(0.1765, abs=0.0001)
    assert rest / found.minutes * 60 == pytest.approx(9)


def test_without_allowance_there_is_no_rest() -> None:
    assert minutes(labour(Rates(allowance=0)), "rest and interruptions") == 0


def test_every_stitch_is_timed_once() -> None:
    plan = make_plan(request(rates=Rates(pace=EVEN, minutes=NO_TIME, allowance=0), swatch=SWATCH))

    stitches = sum(count for _, count in plan.made.made) + plan.made.chains
    assert plan.labour.minutes == pytest.approx(stitches / 10)


def test_the_collars_first_row_is_time_on_the_collar() -> None:
    plan = make_plan(request(rates=Rates(pace=EVEN), swatch=SWATCH))

    high, rows = plan.rows.collar_stitches, plan.rows.collar_rows
    assert minutes(plan.labour, "collar") == pytest.approx((high + 1 + high * rows) / 10)


def test_a_swatch_takes_time_only_where_one_is_still_to_make() -> None:
    assert minutes(labour(Rates()), "swatch") == 0
    assert minutes(labour(Rates(), swatch=None), "swatch") == Rates().minutes.swatch


def test_a_faster_hand_takes_less_time() -> None:
    slow, fast = Rates(pace=Pace(sc=15)), Rates(pace=Pace(sc=25))

    assert labour(fast).minutes < labour(slow).minutes


@given(requests())
@settings(max_examples=60)
def test_the_tasks_add_up_and_none_runs_backwards(order: Request) -> None:
    plan = make_plan(order)

    again = labour_of(plan.made, plan.gauge, order.rates)
    assert again == plan.labour
    assert all(task.minutes >= 0 for task in again.tasks)
    assert again.minutes == pytest.approx(sum(task.minutes for task in again.tasks))
