"""The whole plan: one request in, everything decided out."""

from dataclasses import replace
from decimal import Decimal
from math import isfinite

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.checks import Severity
from sizing.dogs import Dog, Field, HeadType, Measurements
from sizing.errors import SizingError, StoppedError, ValueOutOfRangeError
from sizing.gauge import Swatch, default_gauge
from sizing.machine import replay
from sizing.plan import ENGINE, Plan, Request, make_plan
from sizing.rates import Rates
from sizing.rows import PartName
from sizing.wording import Terms, row_text
from sizing.yarns import WeightClass
from tests.sizing.builders import request, row_plan, spaniel, yarn
from tests.sizing.strategies import odd_measurements, of_weight, requests

MIDDLE = dict.fromkeys(Field, 0.5)
EVERY_FIELD = frozenset({*(field.value for field in Field), "weight", "breed"})


@given(requests())
@settings(max_examples=150)
def test_every_dog_from_a_toy_to_a_giant_gets_a_plan_that_the_machine_accepts(
    order: Request,
) -> None:
    plan = make_plan(order)

    assert replay(plan.pattern) == plan.made
    assert plan.rows.collar_rows % 2 == 0
    assert plan.target.collar_girth < order.measurements.neck_girth


@given(odd_measurements(), requests())
@settings(max_examples=60)
def test_even_accepted_nonsense_gives_a_hood_that_can_be_worked(
    odd: Measurements, order: Request
) -> None:
    plan = make_plan(replace(order, measurements=odd, accepted=EVERY_FIELD))

    assert replay(plan.pattern) == plan.made


@pytest.mark.parametrize("weight_class", WeightClass, ids=lambda c: c.name.lower())
@pytest.mark.parametrize("head", HeadType)
@pytest.mark.parametrize("kg", [2, 3, 5, 8, 13, 21, 34, 55, 80])
def test_each_size_of_dog_gets_a_hood_in_each_yarn(
    kg: float, head: HeadType, weight_class: WeightClass
) -> None:
    dog = Dog(weight_kg=kg, head=head)
    plan = make_plan(
        request(of_weight(kg, head, MIDDLE), dog=dog, wool=yarn(weight_class=weight_class))
    )

    # Of the yarn, the tests' ball has the length of a medium one, whatever the class.
    assert {one.field for one in plan.findings} <= {"ball"}
    assert plan.gauge == default_gauge(yarn(weight_class=weight_class))
    assert plan.rows.last_stitches >= 6
    if weight_class <= WeightClass.MEDIUM:  # thicker yarn has no room to hit a small dog
        assert plan.finished.nape == pytest.approx(plan.target.nape, abs=plan.gauge.row_mm * 1.3)


@given(requests())
@settings(max_examples=60)
def test_the_same_request_gives_the_same_plan(order: Request) -> None:
    assert make_plan(order) == make_plan(order)


@given(requests())
@settings(max_examples=60)
def test_all_figures_of_a_plan_are_finite_and_none_is_below_zero(order: Request) -> None:
    plan = make_plan(order)

    lengths = [
        plan.finished.collar_girth, plan.finished.collar_height, plan.finished.nape,
        plan.finished.face_opening, plan.finished.crown or 0, plan.yarn.metres.low,
        plan.yarn.grams.high, plan.labour.minutes, *(point.mm for point in plan.checkpoints),
    ]  # fmt: skip
    assert all(isfinite(length) and length >= 0 for length in lengths)
    assert plan.price.total >= 0
    assert plan.engine == ENGINE


def checkpoint(plan: Plan, name: str) -> tuple[PartName, int, float]:
    return next((p.part, p.row, p.mm) for p in plan.checkpoints if name in p.name)


def test_checkpoints_say_after_which_row_to_measure_and_how_near() -> None:
    plan = make_plan(request())

    assert checkpoint(plan, "strip before joining") == (
        PartName.COLLAR, 40, plan.finished.collar_girth,
    )  # fmt: skip
    assert checkpoint(plan, "collar height")[:2] == (PartName.COLLAR, 1)
    assert checkpoint(plan, "nape") == (
        PartName.HOOD, plan.rows.crown_row - 1, plan.finished.nape,
    )  # fmt: skip
    assert checkpoint(plan, "front edge") == (
        PartName.HOOD, plan.rows.hood_rows, plan.finished.face_opening / 2,
    )  # fmt: skip
    assert all(point.tolerance_mm > 0 for point in plan.checkpoints)


def test_a_stop_blocks_the_plan_and_names_the_field() -> None:
    wrong = replace(spaniel(), neck_girth=140)  # 14 in written as 14 cm

    with pytest.raises(StoppedError, match="14 looks like inches") as caught:
        make_plan(request(wrong))

    assert caught.value.fields == ("neck_girth",)


def test_a_stop_that_is_accepted_blocks_no_longer_and_is_still_told() -> None:
    wrong = replace(
        request(replace(spaniel(), neck_girth=140)), accepted=frozenset({"neck_girth"})
    )

    plan = make_plan(wrong)

    assert [(f.field, f.severity) for f in plan.findings] == [("neck_girth", Severity.STOP)]


def test_accepting_one_stop_does_not_let_another_pass() -> None:
    both = replace(spaniel(), neck_girth=140, face_girth=150)

    with pytest.raises(StoppedError) as caught:
        make_plan(replace(request(both), accepted=frozenset({"neck_girth"})))

    assert caught.value.fields == ("face_girth",)


@pytest.mark.parametrize(
    ("hook", "swatch_hook", "used"),
    [(None, None, 5.0), (None, 5.5, 5.5), (4.0, 5.5, 4.0), (4.0, None, 4.0)],
)
def test_the_makers_hook_goes_before_the_swatchs_and_that_before_the_default(
    hook: float | None, swatch_hook: float | None, used: float
) -> None:
    order = replace(request(swatch=Swatch(13, 15, 13, 15, hook_mm=swatch_hook)), hook_mm=hook)

    assert make_plan(order).hook_mm == used


@pytest.mark.parametrize("hook", [0.0, -5.0, 0.4, 31.0, float("nan"), float("inf")])
def test_what_is_no_hook_is_refused(hook: float) -> None:
    with pytest.raises(ValueOutOfRangeError, match="crochet hook") as caught:
        make_plan(replace(request(), hook_mm=hook))

    assert caught.value.field == "hook_mm"


@pytest.mark.parametrize("value", [0.0, -1.0, 3001.0, float("nan"), float("inf")])
@pytest.mark.parametrize("field", Field)
def test_a_length_that_no_dog_has_is_refused(field: Field, value: float) -> None:
    with pytest.raises(ValueOutOfRangeError) as caught:
        spaniel().with_({field: value})

    assert caught.value.field == field


@pytest.mark.parametrize("kg", [0.0, -3.0, 1000.0, float("nan"), float("inf")])
def test_a_weight_that_no_dog_has_is_refused(kg: float) -> None:
    with pytest.raises(ValueOutOfRangeError, match="A dog weighs"):
        Dog(weight_kg=kg)


@pytest.mark.parametrize("count", [1.9, 81, 0, -12, float("nan"), float("inf")])
@pytest.mark.parametrize("place", range(4))
def test_a_gauge_that_no_hand_works_is_refused(place: int, count: float) -> None:
    rib_stitches, rib_rows, stitches, rows = (count if i == place else 13 for i in range(4))

    with pytest.raises(ValueOutOfRangeError, match="over 10 cm again"):
        Swatch(rib_stitches, rib_rows, stitches, rows).gauge()


@pytest.mark.parametrize(
    ("grams", "stitches"),
    [(20, None), (None, 300), (0, 300), (-1, 300), (20, 0), (float("nan"), 300), (1e308, 1)],
)
def test_half_a_weighing_or_one_of_nothing_is_refused(
    grams: float | None, stitches: int | None
) -> None:
    with pytest.raises(ValueOutOfRangeError):
        Swatch(13, 15, 13, 15, weighed_grams=grams, weighed_stitches=stitches)


@pytest.mark.parametrize(
    "wrong",
    [
        {"metres": 0}, {"metres": -1}, {"grams": 0}, {"metres": float("nan")},
        {"grams": float("inf")}, {"price": "-0.01"}, {"price": "NaN"}, {"price": "1e30"},
    ],
)  # fmt: skip
def test_a_ball_that_cannot_be_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueOutOfRangeError):
        yarn(**wrong)  # type: ignore[arg-type]


@given(st.integers(0, 30))
def test_every_error_of_the_core_is_one_that_the_service_can_catch(shift: int) -> None:
    wrong = replace(spaniel(), neck_girth=1 + shift)

    with pytest.raises(SizingError):
        make_plan(request(wrong))


def test_every_row_of_a_plan_has_a_sentence_that_ends_with_its_count() -> None:
    plan = make_plan(request())

    for part in plan.pattern.parts[::2]:
        for row in part.rows:
            for terms in Terms:
                assert row_text(part.part, row, terms).endswith(f"({row.stitches} sts)")


def test_the_row_plan_of_the_builders_is_one_that_a_plan_could_hold() -> None:
    assert row_plan().last_stitches == 8


def test_a_price_follows_the_rates() -> None:
    dear = Rates(wage_per_hour=Decimal(30))

    assert make_plan(request(rates=dear)).price.total > make_plan(request()).price.total
