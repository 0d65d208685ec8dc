"""A plan that is kept comes back exactly as it was made."""

import json
from pathlib import Path
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.bodies import ChecksIn, OrderIn, PlanIn, RatesIn
from service.db import Database
from service.models import Order
from service.orders import take_order
from service.planning import (
    findings_again,
    findings_on,
    kept_findings,
    kept_plan,
    plan_again,
    request_of,
)
from service.planout import plan_out
from sizing.dogs import Coat, EarCarriage, Field, HeadType, Risk
from sizing.machine import replay
from sizing.plan import ENGINE, make_plan
from sizing.wording import Terms
from sizing.yarns import Fibre, WeightClass
from tests.service.api import SLIPPED, SWATCH, FixedClock, Json, order_body

KEPT: Final = Path(__file__).parent / "kept"
ACCEPTED = [{"field": field, "reason": "Measured twice."} for field in (*Field, "weight", "breed")]
TENTHS = st.integers(20, 300).map(lambda tenths: tenths / 10)


@st.composite
def hoods(draw: st.DrawFn) -> Json:
    """Draw a body for a plan; every stop is accepted, so that odd dogs are planned too."""
    size = draw(st.floats(0.4, 2.0))
    cm = {"neck_length": 8, "neck_girth": 36, "nape_length": 12, "face_girth": 38}
    percent = draw(st.integers(1, 99))
    fibres = draw(st.permutations(list(Fibre)))
    return {
        "dog": {
            "name": draw(st.text(st.characters(categories=["L", "N"]), max_size=20)),
            "breed": draw(st.sampled_from(["", "Beagle", "pug", "Great Dane", "Fenhound"])),
            "weight": draw(st.sampled_from(["", "2 kg", "26 lb 4 oz", "80 kg"])),
            "head": draw(st.sampled_from([None, *HeadType])),
            "ears": draw(st.sampled_from([None, *EarCarriage])),
            "coat": draw(st.sampled_from([None, *Coat])),
            "risks": draw(st.lists(st.sampled_from(Risk), unique=True)),
        },
        "measurements": {name: f"{value * size:.1f} cm" for name, value in cm.items()},
        "unit": draw(st.sampled_from(["cm", "in"])),
        "yarn": {
            "name": "Hemlock",
            "fibres": [
                {"fibre": fibres[0], "percent": percent},
                {"fibre": fibres[1], "percent": 100 - percent},
            ],
            "weight_class": draw(st.sampled_from(WeightClass)),
            "ball_metres": draw(st.floats(20, 900)),
            "ball_grams": draw(st.floats(10, 500)),
            "ball_price": draw(st.decimals(0, 90, places=2)),
        },
        "swatch": draw(st.sampled_from([None, SWATCH])),
        "hook_mm": draw(st.none() | TENTHS),
        "accepted": ACCEPTED,
        "rates": {
            "currency": draw(st.sampled_from(["EUR", "JPY", "KWD"])),
            "tax": draw(st.decimals(0, 1, places=3)),
            "fee_fixed": draw(st.decimals(0, 5, places=2)),
            "allowance": draw(st.floats(0, 0.5)),
        },
    }


@given(hoods())
@settings(max_examples=120, deadline=None)
def test_a_plan_comes_back_from_json_as_it_was(body: Json) -> None:
    asked = PlanIn.model_validate(body)
    plan = make_plan(request_of(asked, asked.rates))
    text = json.dumps(kept_plan(plan), allow_nan=False)

    assert plan_again(json.loads(text)) == plan


def test_findings_come_back_from_json_as_they_were() -> None:
    found = findings_on(ChecksIn.model_validate({"measurements": SLIPPED}))

    assert found
    assert findings_again(json.loads(json.dumps(kept_findings(found)))) == found


@pytest.mark.parametrize("swatch", [None, SWATCH])
def test_a_plan_comes_back_from_the_database_as_it_was(
    database: Database, clock: FixedClock, swatch: Json | None
) -> None:
    asked = OrderIn.model_validate(order_body(swatch=swatch))
    with database.writing() as session:
        order_id = take_order(session, asked, clock()).id
    with database.reading() as session:
        order = session.get_one(Order, order_id)

    assert order.plan is not None
    assert plan_again(order.plan) == make_plan(request_of(asked, RatesIn()))
    assert findings_again(order.findings) == plan_again(order.plan).findings
    assert order.created_at == clock.now


@pytest.mark.parametrize("kept", sorted(KEPT.glob("engine-*.json")), ids=lambda path: path.stem)
def test_a_plan_that_an_older_engine_made_can_still_be_read_and_printed(kept: Path) -> None:
    plan = plan_again(json.loads(kept.read_text(encoding="utf-8")))

    assert plan.engine == kept.stem.removeprefix("engine-")
    assert replay(plan.pattern) == plan.made
    assert plan_out(plan, Terms.UK).pattern.parts[0].rows[-1].row == plan.rows.collar_rows


def test_there_is_a_kept_plan_of_the_engine_of_today() -> None:
    assert (KEPT / f"engine-{ENGINE}.json").exists(), "keep a plan of this engine there"
