from math import log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from sizing.balls import dye_lot_advice, least_balls, percent_text
from sizing.gauge import Gauge, Swatch, default_gauge
from sizing.lognormal import Lognormal
from sizing.machine import Replay
from sizing.material import YarnNeed, yarn_need
from sizing.pieces import Piece, pieces_made, pieces_of, swatch_piece
from sizing.plan import Request, make_plan
from sizing.rows import Op
from sizing.shrink import Belief
from sizing.yarns import WeightClass
from tests.sizing.builders import INCH, request, yarn
from tests.sizing.strategies import requests

MEDIUM = default_gauge(yarn())
TESTED = Gauge(12.5, 14.3, 12.5, 14.125, tested=True)
COUNTED = Swatch(12.5, 14.3, 12.5, 14.125)
WEIGHED = Swatch(12.5, 14.3, 12.5, 14.125, weighed_grams=20, weighed_stitches=500)
UNRAVELLED = Swatch(12.5, 14.3, 12.5, 14.125, unravelled_mm=1600, unravelled_stitches=20)


def sample(stitches: int) -> Replay:
    """Nothing but plain single crochet, as in a swatch."""
    return Replay(((Op.SC, stitches),), 0)


def worked_metres(stitches: int, gauge: Gauge, weight_class: WeightClass) -> tuple[float, float]:
    """The least and the most metres of 19 in 20, for single crochets without tails."""
    thread = yarn(weight_class=weight_class, metres=115 if weight_class > 4 else 181)
    with_them = yarn_need(sample(stitches), thread, gauge, None).metres_95
    without = yarn_need(sample(0), thread, gauge, None).metres.likely
    assert with_them
    return with_them.low - without, with_them.high - without


def test_the_published_figures_that_disagree_all_lie_in_the_interval() -> None:
    # One person's single row: 53 in of yarn for 5 in. A seller's bulky: 70 mm an sc.
    row = 5 * INCH / TESTED.stitch_mm
    low, high = worked_metres(round(row * 100), TESTED, WeightClass.MEDIUM)
    assert low <= 53 * INCH / 1000 * 100 <= high

    for stitches in (8, 9.5, 11):  # Craft Yarn Council: bulky, 8 to 11 sc to 10 cm
        rows = stitches * 1.13
        bulky = Gauge(stitches, rows, stitches, rows, tested=True)
        low, high = worked_metres(100, bulky, WeightClass.BULKY)
        assert low <= 7.0 <= high


@given(requests())
@settings(max_examples=150)
def test_the_intervals_lie_in_each_other(order: Request) -> None:
    need = make_plan(order).yarn

    assert need.metres_95
    assert 0 < need.metres_95.low <= need.metres.low <= need.metres.likely
    assert need.metres.likely == need.metres_95.likely
    assert need.metres.likely <= need.metres.high <= need.metres_95.high
    assert 0 < need.grams.low <= need.grams.likely <= need.grams.high
    assert 1 <= need.balls_low <= need.balls_likely <= need.balls_to_buy
    assert need.basis
    assert need.advice


@given(requests())
@settings(max_examples=100)
def test_grams_and_balls_follow_from_metres_by_the_ball_band(order: Request) -> None:
    need = make_plan(order).yarn
    band = order.yarn

    assert need.grams.likely == pytest.approx(
        need.metres.likely * band.ball_grams / band.ball_metres
    )
    assert need.metres.high <= need.balls_to_buy * band.ball_metres * (1 + 1e-9)
    assert need.suffices is not None
    assert need.suffices >= 0.95
    by_balls = {choice.balls: choice.suffices for choice in need.choices}
    assert by_balls[need.balls_to_buy] == need.suffices
    assert by_balls.get(need.balls_to_buy - 1, 0) < 0.95 <= by_balls[need.balls_to_buy + 1]
    assert sorted(by_balls.values()) == [by_balls[balls] for balls in sorted(by_balls)]


@given(requests())
@settings(max_examples=100)
def test_the_parts_add_up_to_the_whole(order: Request) -> None:
    plan = make_plan(order)
    need = yarn_need(
        plan.made, order.yarn, plan.gauge, order.swatch, pieces=pieces_of(plan.pattern)
    )

    assert sum(part.metres.likely for part in need.parts) == pytest.approx(need.metres.likely)
    assert sum(part.grams.likely for part in need.parts) == pytest.approx(need.grams.likely)
    names = ["collar", "joining", "hood", "closing", "swatch", "tails"]
    assert [part.part for part in need.parts] == [
        name for name in names if name != "swatch" or not plan.gauge.tested
    ]


@given(requests())
@settings(max_examples=60)
def test_counted_by_pattern_or_by_machine_the_yarn_is_the_same(order: Request) -> None:
    plan = make_plan(order)

    by_pattern = pieces_of(plan.pattern)
    by_machine = pieces_made(plan.made)
    for one, other in zip(by_pattern, by_machine, strict=True):
        assert (one.name, one.chains, one.ends) == (other.name, other.chains, other.ends)
        assert {op: n for op, n in one.counts if n} == {op: n for op, n in other.counts if n}
    assert by_pattern[0].rows == plan.rows.collar_rows
    assert by_pattern[2].rows == plan.rows.hood_rows


def relative_width(swatch: Swatch, finished: Belief | None = None) -> float:
    metres = yarn_need(make_plan(request()).made, yarn(), TESTED, swatch, finished=finished).metres
    return (metres.high - metres.low) / metres.likely


def test_each_way_of_measuring_narrows_the_interval() -> None:
    both = Swatch(
        12.5, 14.3, 12.5, 14.125, weighed_grams=20, weighed_stitches=500,
        unravelled_mm=1600, unravelled_stitches=20,
    )  # fmt: skip

    assert relative_width(COUNTED) > 0.6
    assert relative_width(WEIGHED) < 0.23
    assert relative_width(UNRAVELLED) < 0.23
    assert relative_width(both) < min(relative_width(WEIGHED), relative_width(UNRAVELLED))
    assert relative_width(COUNTED, finished=Belief(0.1, 0.03)) < 0.2
    assert relative_width(both, finished=Belief(0.1, 0.03)) < relative_width(both)


@pytest.mark.parametrize("swatch", [WEIGHED, UNRAVELLED])
def test_a_measured_swatch_is_believed_by_the_stitch(swatch: Swatch) -> None:
    # 20 g for 500 sc of a yarn of 200 m to 100 g: 8 cm a stitch. 20 undone: 160 cm, the same.
    some, none = (yarn_need(sample(n), yarn(), TESTED, swatch).metres.likely for n in (1000, 0))

    assert some - none == pytest.approx(80, rel=0.02)  # 66 without it


def test_weighing_by_the_stitch_and_by_the_area_come_to_the_same() -> None:
    # The two forms of the weighed swatch: grams a stitch x stitches, grams a cm2 x area.
    plan = make_plan(request(swatch=WEIGHED))
    swatch_mm2 = 500 * TESTED.stitch_mm * TESTED.row_mm
    collar = plan.finished.collar_girth * plan.finished.collar_height
    outline = plan.panel.outline
    panel = abs(
        sum(
            x * next_y - next_x * y
            for (x, y), (next_x, next_y) in zip(outline, (*outline[1:], outline[0]), strict=True)
        )
        / 2
    )

    by_area = 20 / swatch_mm2 * (collar + 2 * panel)
    assert plan.yarn.grams.likely == pytest.approx(by_area, rel=0.06)


def test_the_two_ways_agree_for_a_dog_and_yarn_that_belong_together() -> None:
    for swatch in (None, COUNTED, WEIGHED, UNRAVELLED):
        need = make_plan(request(swatch=swatch)).yarn
        assert need.agree
        assert need.by_area
        assert abs(log(need.by_area.likely / need.metres.likely)) < 0.15


def test_a_ball_band_that_cannot_belong_to_the_swatch_is_seen() -> None:
    # 2000 m typed for 200 m: the weighed swatch then says a tenth of the yarn by the metre.
    slip = make_plan(request(wool=yarn(metres=2000), swatch=WEIGHED)).yarn

    assert slip.agree is False


def test_an_untested_gauge_buys_the_yarn_for_its_swatches_too() -> None:
    swatch = Swatch(MEDIUM.rib_stitches, MEDIUM.rib_rows, MEDIUM.plain_stitches, MEDIUM.plain_rows)
    untested, tested = make_plan(request()).yarn, make_plan(request(swatch=swatch)).yarn

    assert untested.metres.likely > tested.metres.likely
    # two pieces of 15 cm: 18.75 stitches by 21.2 rows each
    stitches = dict(swatch_piece(MEDIUM).counts)
    assert stitches[Op.SC] == round(18.75 * 21.19)
    assert stitches[Op.SC_BLO] == pytest.approx(stitches[Op.SC], rel=0.02)


def test_a_wider_rib_stitch_takes_more_yarn_than_a_plain_one() -> None:
    wide = Gauge(10, 14, 12.5, 14, tested=True)

    def metres(gauge: Gauge, *counts: tuple[Op, int]) -> float:
        return yarn_need(Replay(counts, 0), yarn(), gauge, None).metres.likely

    none = metres(wide)
    plain = metres(wide, (Op.SC, 1000)) - none
    # by the root of the width, 1.25, and that by the power 0.75: a thinner yarn for its size
    assert (metres(wide, (Op.SC_BLO, 1000)) - none) / plain == pytest.approx(1.25**0.375, rel=0.01)


def test_an_add_on_in_another_colour_has_its_own_balls() -> None:
    plan = make_plan(request(swatch=WEIGHED))
    hood = pieces_of(plan.pattern)
    ear = Piece("ear", ((Op.SC, 400),), rows=20, ends=4, colour="red")
    alone = yarn_need(plan.made, yarn(), TESTED, WEIGHED, pieces=hood)
    need = yarn_need(plan.made, yarn(), TESTED, WEIGHED, pieces=(*hood, ear))

    main, red = need.colours
    assert (main.colour, red.colour) == ("", "red")
    assert red.metres.likely == pytest.approx(400 * 0.079 + 0.6, rel=0.03)
    assert main.metres.likely == pytest.approx(alone.metres.likely)
    assert need.balls_to_buy == main.balls_to_buy + red.balls_to_buy
    assert min(main.suffices, red.suffices) >= 0.975  # together no shorter than 1 in 20
    assert need.suffices is not None
    assert need.suffices >= 0.95
    assert [(p.part, p.colour) for p in need.parts][-2:] == [("tails", ""), ("tails", "red")]
    assert need.choices == ()


def test_a_finished_hood_is_compared_with_what_the_model_says_alone() -> None:
    made = make_plan(request(swatch=WEIGHED)).made
    plain = yarn_need(made, yarn(), TESTED, COUNTED)
    taught = yarn_need(made, yarn(), TESTED, WEIGHED, finished=Belief(0.3, 0.05))

    assert taught.model_grams == plain.model_grams
    assert plain.model_grams == pytest.approx(plain.grams.likely, rel=0.01)
    assert taught.basis == "your weighed swatch and your finished hoods"
    assert taught.grams.likely > plain.grams.likely * 1.15


def test_a_plan_kept_before_there_were_chances_is_still_read() -> None:
    old = {
        "metres": {"low": 60.0, "likely": 90.0, "high": 110.0},
        "grams": {"low": 30.0, "likely": 45.0, "high": 55.0},
        "balls_low": 1, "balls_likely": 1, "balls_to_buy": 1, "basis": "your weighed swatch",
    }  # fmt: skip
    reader = TypeAdapter(YarnNeed)

    assert reader.validate_python(old).suffices is None
    need = make_plan(request()).yarn
    assert reader.validate_json(reader.dump_json(need)) == need


@given(st.floats(1, 5000), st.floats(0.01, 0.8), st.floats(5, 500))
def test_one_ball_less_would_not_do(middle: float, sd: float, ball: float) -> None:
    amount = Lognormal(middle, sd)
    found = least_balls(amount, ball, 0.05)

    assert found.suffices >= 0.95
    assert found.balls == 1 or amount.below((found.balls - 1) * ball) < 0.95


def test_the_advice_names_the_lot_and_never_promises() -> None:
    assert "lot 77B" in dye_lot_advice(3, 0.97, "77B")
    assert "all 3 balls" in dye_lot_advice(3, 0.97, "77B")
    assert "97%" in dye_lot_advice(3, 0.97, "")
    assert "over 99%" in dye_lot_advice(1, 1.0, "")
    assert percent_text(0.994) == "99%"
