from dataclasses import asdict, replace
from math import log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.errors import ValueOutOfRangeError
from sizing.gauge import Swatch
from sizing.labour import NEW_KIND, REST, UNTIMED, Labour, labour_of
from sizing.pieces import Piece, pieces_of
from sizing.plan import Request, make_plan
from sizing.rates import AllowanceOf, FixedMinutes, Pace, Rates
from sizing.rows import Op
from sizing.shrink import Belief, learned
from sizing.timing import HAND_LEARNING, Timing, hood_time_observation, learning_factor
from tests.sizing.builders import request
from tests.sizing.strategies import requests

SWATCH = Swatch(12.5, 14.3, 12.5, 14.1)
EVEN = Pace(chain=10, sc=10, sc_blo=10, dec=10, seam=10)
NO_TIME = FixedMinutes(swatch=0, per_end=0, trying_on=0, packing=0, per_turn=0)


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

    again = labour_of(plan.made, plan.gauge, order.rates, pieces=pieces_of(plan.pattern))
    assert again == plan.labour
    assert all(task.minutes >= 0 for task in again.tasks)
    assert again.minutes == pytest.approx(sum(task.minutes for task in again.tasks))


PLAN = make_plan(request(swatch=SWATCH))
PIECES = pieces_of(PLAN.pattern)


def timed(rates: Rates, **more: object) -> Labour:
    return labour_of(PLAN.made, PLAN.gauge, rates, **more)  # type: ignore[arg-type]


def test_an_allowance_of_the_work_is_less_than_one_of_the_shift() -> None:
    # Handbooks: ST = NT x (1 + A) and ST = NT / (1 - A); 17.6 % of the work is 15 % of the shift.
    of_shift = timed(Rates(allowance=0.15))
    of_work = timed(Rates(allowance=0.15 / 0.85, allowance_of=AllowanceOf.WORK))
    work = of_work.minutes - minutes(of_work, "rest and interruptions")

    assert of_work.minutes == pytest.approx(of_shift.minutes)
    assert minutes(of_work, "rest and interruptions") == pytest.approx(0.1765 * work, rel=0.001)


def test_row_turns_are_timed_where_the_rows_are_known() -> None:
    rows = PLAN.rows.collar_rows + PLAN.rows.hood_rows
    rates = Rates(minutes=FixedMinutes(per_turn=0.1), allowance=0)
    known, unknown = timed(rates, pieces=PIECES), timed(rates)

    assert minutes(known, "turning") == pytest.approx(rows / 10)
    assert known.minutes == pytest.approx(unknown.minutes + rows / 10)


def test_an_add_on_is_a_task_with_its_own_ends() -> None:
    ear = Piece("ear", ((Op.SC, 400),), rows=20, ends=2, colour="red")
    rates = Rates(pace=EVEN, allowance=0)
    with_it, without = timed(rates, pieces=(*PIECES, ear)), timed(rates, pieces=PIECES)

    assert minutes(with_it, "ear") == pytest.approx(40)
    more = minutes(with_it, "weaving in") - minutes(without, "weaving in")
    assert more == pytest.approx(2 * rates.minutes.per_end)


@pytest.mark.parametrize(("rate", "second"), [(0.8, 0.8), (0.85, 0.85), (0.9, 0.9)])
def test_each_doubling_takes_the_same_share_of_the_time(rate: float, second: float) -> None:
    # Wright 1936: T_n = T_1 n^(log2 r), so T_2n / T_n = r.
    assert learning_factor(1, rate) / learning_factor(0, rate) == pytest.approx(second)
    assert learning_factor(3, rate) / learning_factor(1, rate) == pytest.approx(second)


def test_the_first_of_its_kind_takes_longer_and_the_eighth_no_more() -> None:
    rates = Rates(learning=HAND_LEARNING.value)
    usual = timed(rates)
    found = [timed(rates, made_before=before).minutes for before in range(12)]

    assert found == sorted(found, reverse=True)
    assert found[7] == found[11] == pytest.approx(usual.minutes)
    # 1 / 0.8^3 of the work at the hook: three doublings from the first to the eighth
    at_hook = sum(minutes(usual, name) for name in ("collar", "hood", "seams"))
    extra = minutes(timed(rates, made_before=0), NEW_KIND)
    assert extra == pytest.approx(at_hook * (1 / 0.8**3 - 1))


def test_turning_the_rows_of_a_new_kind_takes_longer_too() -> None:
    rates = Rates(minutes=FixedMinutes(per_turn=0.5), learning=HAND_LEARNING.value)
    quick = Rates(minutes=FixedMinutes(per_turn=0), learning=HAND_LEARNING.value)
    with_turns, without = (timed(one, pieces=PIECES, made_before=0) for one in (rates, quick))

    turning = minutes(with_turns, "turning")
    more = minutes(with_turns, NEW_KIND) - minutes(without, NEW_KIND)
    assert turning > 0
    assert more == pytest.approx(turning * (1 / 0.8**3 - 1))


@given(
    before=st.integers(0, 20),
    rate=st.floats(0.51, 1),
    allowance=st.floats(0, 0.5),
    factor=st.floats(0.5, 2),
)
def test_practice_never_costs_time_and_is_told_apart(
    before: int, rate: float, allowance: float, factor: float
) -> None:
    rates = Rates(learning=rate, allowance=allowance)
    belief = replace(UNTIMED, mean=log(factor))
    one, more, known = (
        timed(rates, made_before=made, finished=belief) for made in (before, before + 1, None)
    )

    assert one.minutes >= more.minutes >= known.minutes - 1e-9
    others = [task for task in one.tasks if task.name not in {NEW_KIND, REST}]
    assert others == [task for task in known.tasks if task.name != REST]
    # What a finished hood is held against has the new kind in it.
    work = sum(task.minutes for task in one.tasks if task.name != REST)
    assert one.model_minutes
    assert one.model_minutes * belief.factor == pytest.approx(work)


def test_without_learning_a_first_takes_no_longer() -> None:
    assert timed(Rates(learning=1), made_before=0) == timed(Rates(learning=1))


@pytest.mark.parametrize("learning", [0.5, 1.1, 0.0, float("nan")])
def test_a_learning_rate_that_cannot_be_is_refused(learning: float) -> None:
    with pytest.raises(ValueOutOfRangeError, match="Learning"):
        Rates(learning=learning)


def test_finished_hoods_correct_the_time() -> None:
    plain = timed(Rates())
    assert plain.model_minutes is not None
    seen = [hood_time_observation(plain.model_minutes, 1.3 * plain.model_minutes)] * 6
    found = timed(Rates(), finished=learned(UNTIMED, seen))

    assert found.model_minutes == plain.model_minutes
    assert found.minutes / plain.minutes == pytest.approx(1.3, rel=0.015)
    assert plain.spread
    assert found.spread
    assert plain.spread.likely == plain.minutes
    wide, narrow = (log(s.high / s.low) for s in (plain.spread, found.spread))
    assert narrow < wide / 1.5


def test_a_sure_factor_is_taken_as_it_is() -> None:
    found = timed(Rates(), finished=Belief(log(2), 0.0))

    assert found.minutes == pytest.approx(2 * timed(Rates()).minutes)


def test_a_stopwatch_sets_the_pace_and_a_long_timing_more_so() -> None:
    start = Pace()
    minute = start.timed([Timing("sc", 30, 1)])
    ten = start.timed([Timing("sc", 300, 10)])

    assert start.sc < minute.sc < ten.sc < 30
    assert minute.sc == pytest.approx(30, rel=0.05)
    assert ten.sc == pytest.approx(30, rel=0.01)


def test_who_is_quick_in_one_kind_is_taken_to_be_quicker_in_the_others() -> None:
    start = Pace()
    found = start.timed([Timing("sc", 300, 10)])

    ratios = {kind: pace / asdict(start)[kind] for kind, pace in asdict(found).items()}
    assert 1.2 < ratios["sc_blo"] < ratios["sc"]
    assert ratios["sc_blo"] == pytest.approx(ratios["seam"])


def test_nothing_timed_changes_nothing() -> None:
    assert asdict(Pace().timed([])) == pytest.approx(asdict(Pace()))


@given(
    st.lists(
        st.builds(Timing, st.sampled_from(["sc", "dec"]), st.integers(5, 500), st.floats(0.1, 20))
    )
)
def test_any_timing_gives_a_pace(timings: list[Timing]) -> None:
    found = Pace().timed(timings)

    assert all(pace > 0 for pace in asdict(found).values())


@pytest.mark.parametrize(
    ("kind", "stitches", "took"), [("sc", 0, 1), ("sc", 10, 0), ("knit", 10, 1)]
)
def test_a_timing_that_shows_no_pace_is_refused(kind: str, stitches: int, took: float) -> None:
    with pytest.raises(ValueOutOfRangeError):
        Pace().timed([Timing(kind, stitches, took)])


def test_time_runs_forward_with_any_way_to_count_it() -> None:
    rates = replace(Rates(), allowance_of=AllowanceOf.WORK, learning=0.9)
    found = timed(rates, pieces=PIECES, made_before=2, finished=Belief(-0.2, 0.1))

    assert all(task.minutes >= 0 for task in found.tasks)
