"""Checks and plans: the whole contract of the wire, computed and not kept."""

from decimal import Decimal
from math import isclose
from typing import Any

import pytest
from sqlmodel import select

from service.db import Database
from service.models import Order
from tests.service.api import DOG, HOOD, LENGTHS, SLIPPED, SWATCH, YARN, Api, Json, assert_problem

DIMENSIONS = {"collar_girth", "collar_height", "nape", "face_opening", "crown"}
FINDING = {
    "field",
    "severity",
    "message",
    "expected_low_mm",
    "expected_high_mm",
    "suggestion",
    "suggestion_mm",
    "basis",
}
PRICED: Json = {
    "currency": "EUR",
    "wage_per_hour": "16.50",
    "overhead": "0.12",
    "margin": "0.08",
    "fee_share": "0.029",
    "fee_fixed": "0.35",
    "tax": "0.19",
}


def planned(api: Api, **changes: Any) -> Json:  # noqa: ANN401 - any member of a hood
    response = api.post("/plans", {**HOOD, **changes})
    assert response.status_code == 200, response.text
    plan: Json = response.json()
    return plan


def findings(api: Api, body: Json) -> list[Json]:
    response = api.post("/checks", body)
    assert response.status_code == 200, response.text
    found: list[Json] = response.json()["findings"]
    return found


def rows_of(plan: Json, part: str) -> list[Json]:
    rows: list[Json] = next(p["rows"] for p in plan["pattern"]["parts"] if p["part"] == part)
    return rows


def test_a_wrong_number_is_found_with_what_is_usual_and_what_was_meant(sqlite_api: Api) -> None:
    (found,) = findings(sqlite_api, {"dog": DOG, "measurements": SLIPPED})

    assert set(found) == FINDING
    assert (found["field"], found["severity"]) == ("neck_girth", "stop")
    assert 145 < found["expected_low_mm"] < 368.3 < found["expected_high_mm"]
    assert found["suggestion_mm"] == pytest.approx(368.3)
    assert found["suggestion"] == "36.85 cm"
    assert "14.5 looks like inches: 36.85 cm? That is likely (" in found["message"]
    assert found["basis"]


def test_a_head_girth_and_a_crown_that_cannot_be_are_found_too(sqlite_api: Api) -> None:
    four = {**SLIPPED, "neck_girth": "36"}
    measured = {**four, "head_girth": "15.75", "crown_length": "60"}
    crown, head = findings(sqlite_api, {"dog": DOG, "measurements": measured})

    assert set(crown) == set(head) == FINDING
    assert (crown["field"], crown["severity"]) == ("crown_length", "stop")
    assert (head["field"], head["suggestion"]) == ("head_girth", "40.0 cm")
    assert "15.75 looks like inches" in head["message"]
    right = {**four, "head_girth": "40", "crown_length": "17"}
    assert findings(sqlite_api, {"dog": DOG, "measurements": right}) == []


def test_the_diagnosis_says_what_may_have_happened_and_what_to_ask(sqlite_api: Api) -> None:
    told = sqlite_api.post("/checks", {"dog": DOG, "measurements": SLIPPED}).json()
    diagnosis = told["diagnosis"]
    first, *others = diagnosis["explanations"]

    assert set(told) == {"findings", "diagnosis"}
    assert set(diagnosis) == {
        "true_probability", "severity", "sure", "explanations", "ask_owner",
    }  # fmt: skip
    assert diagnosis["severity"] == "stop"
    assert 0 <= diagnosis["true_probability"] < 0.01
    assert set(first) == {"kind", "fields", "meant_mm", "probability"}
    assert (first["kind"], first["fields"]) == ("inches written as centimetres", ["neck_girth"])
    assert first["meant_mm"] == {"neck_girth": pytest.approx(368.3)}
    assert others[0]["kind"] == "girth written as the flat half"
    chances = [one["probability"] for one in diagnosis["explanations"]]
    assert chances == sorted(chances, reverse=True)
    assert chances[-1] >= 0.01
    assert 0.9 < sum(chances) <= 1
    assert diagnosis["ask_owner"].startswith("Could you measure Bramble's neck again, please")
    assert "Bramble" not in told["findings"][0]["message"]


def test_true_numbers_are_diagnosed_as_true_and_nothing_is_asked(sqlite_api: Api) -> None:
    told = sqlite_api.post("/checks", {"dog": DOG, "measurements": LENGTHS}).json()

    assert told["diagnosis"]["explanations"][0]["kind"] == "all true"
    assert told["diagnosis"]["true_probability"] > 0.9
    assert (told["diagnosis"]["severity"], told["diagnosis"]["ask_owner"]) == (None, None)


def test_without_a_length_there_is_no_diagnosis(sqlite_api: Api) -> None:
    assert sqlite_api.post("/checks", {"measurements": {}}).json()["diagnosis"] is None


def test_a_dog_without_a_name_is_your_dog_to_its_owner(sqlite_api: Api) -> None:
    told = sqlite_api.post("/checks", {"measurements": {"neck_girth": "290 cm"}}).json()

    assert "your dog's neck" in told["diagnosis"]["ask_owner"]


def test_right_numbers_have_no_finding(sqlite_api: Api) -> None:
    assert findings(sqlite_api, {"dog": DOG, "measurements": LENGTHS}) == []


@pytest.mark.parametrize("field", LENGTHS)
def test_a_single_measurement_is_checked_before_the_others_are_known(
    sqlite_api: Api, field: str
) -> None:
    assert findings(sqlite_api, {"dog": DOG, "measurements": {field: LENGTHS[field]}}) == []
    found = findings(sqlite_api, {"dog": DOG, "measurements": {field: "290 cm"}})

    assert [(f["field"], f["severity"]) for f in found] == [(field, "stop")]


def test_nothing_known_yet_is_no_error(sqlite_api: Api) -> None:
    notes = findings(sqlite_api, {"measurements": {}})

    assert {(note["field"], note["severity"]) for note in notes} == {("weight", "note")}
    assert notes[0]["expected_low_mm"] is None
    assert notes[0]["suggestion"] is None


def test_an_unknown_breed_is_noted_and_does_not_stop(sqlite_api: Api) -> None:
    dog = {"breed": "Lesser Fenhound", "weight": "11 kg"}
    found = findings(sqlite_api, {"dog": dog, "measurements": LENGTHS})

    assert [(f["field"], f["severity"]) for f in found] == [("breed", "note")]
    assert "Lesser Fenhound" in found[0]["message"]


@pytest.mark.parametrize("path", ["/checks", "/plans"])
def test_every_field_that_cannot_be_read_is_named_at_once(sqlite_api: Api, path: str) -> None:
    wrong = {"neck_length": "", "neck_girth": "9**9 cm", "nape_length": "nan", "face_girth": "0"}
    body = {"dog": {"weight": "heavy"}, "measurements": wrong}
    response = sqlite_api.post(path, body if path == "/checks" else {**HOOD, **body})

    problem = assert_problem(response, 422, "unreadable")
    assert set(problem["fields"]) == {*wrong, "weight"}
    assert all("Write it like this" in text for text in problem["fields"].values())


def test_a_plan_has_all_that_was_promised(sqlite_api: Api) -> None:
    plan = planned(sqlite_api, swatch=SWATCH, rates=PRICED)

    assert set(plan) == {
        "engine",
        "findings",
        "gauge",
        "hook_mm",
        "target",
        "finished",
        "pattern",
        "checkpoints",
        "yarn",
        "labour",
        "price",
        "fit",
    }
    assert set(plan["target"]) == set(plan["finished"]) == DIMENSIONS
    assert set(plan["gauge"]) == {*list(SWATCH)[:4], "tested"}
    assert set(plan["labour"]) == {"tasks", "minutes", "spread"}
    assert all(set(task) == {"name", "minutes"} for task in plan["labour"]["tasks"])
    assert {"lines", "total", "currency"} <= set(plan["price"])
    assert {"metres", "grams", "balls", "basis", "suffices", "advice"} <= set(plan["yarn"])


def test_a_pattern_is_parts_of_rows_of_operations(sqlite_api: Api) -> None:
    pattern = planned(sqlite_api)["pattern"]

    assert [part["part"] for part in pattern["parts"]] == [
        "collar",
        "collar_seam",
        "hood",
        "crown_seam",
    ]
    for part in pattern["parts"]:
        assert {"part", "foundation_chain", "rows"} <= set(part)
        assert (part["copies"], part["overlap"], part["rounds"]) == (1, 0, False)
        assert (part["foundation_chain"] is None) == (part["part"] != "collar")
        assert [row["row"] for row in part["rows"]] == list(range(1, len(part["rows"]) + 1))
        for row in part["rows"]:
            assert set(row) == {"row", "side", "operations", "stitches", "text", "colour"}
            assert row["colour"] == ""
            assert row["side"] in {"RS", "WS"}
            assert row["text"].endswith(".") or row["text"].endswith(")")
            for operation in row["operations"]:
                assert set(operation) == {"op", "count"}
                assert operation["op"] in {"sc", "sc_blo", "dec", "sl_st", "whip"}
                assert operation["count"] >= 1


def test_the_rows_on_the_wire_account_for_every_stitch(sqlite_api: Api) -> None:
    plan = planned(sqlite_api)
    collar, hood = rows_of(plan, "collar"), rows_of(plan, "hood")
    consumed = {"sc": 1, "sc_blo": 1, "dec": 2}

    assert plan["pattern"]["parts"][0]["foundation_chain"] == collar[0]["stitches"] + 1
    assert len(collar) % 2 == 0
    live = len(collar)  # one stitch is picked up in each row end
    for row in hood:
        assert sum(consumed[o["op"]] * o["count"] for o in row["operations"]) == live
        live = sum(o["count"] for o in row["operations"])
        assert row["stitches"] == live
    whip = rows_of(plan, "crown_seam")[0]["operations"]
    assert 2 * sum(o["count"] for o in whip) == live


def test_a_plan_keeps_near_its_target(sqlite_api: Api) -> None:
    plan = planned(sqlite_api, swatch=SWATCH)
    row, rib_row = 100 / SWATCH["plain_rows"], 100 / SWATCH["rib_rows"]

    assert abs(plan["finished"]["nape"] - plan["target"]["nape"]) <= 2 * row
    assert abs(plan["finished"]["face_opening"] - plan["target"]["face_opening"]) <= 2 * row
    assert abs(plan["finished"]["collar_girth"] - plan["target"]["collar_girth"]) <= rib_row


def test_a_swatch_is_used_and_makes_the_gauge_tested(sqlite_api: Api) -> None:
    untested, tested = planned(sqlite_api), planned(sqlite_api, swatch=SWATCH)

    assert untested["gauge"]["tested"] is False
    assert tested["gauge"] == {**{name: SWATCH[name] for name in list(SWATCH)[:4]}, "tested": True}
    assert tested["hook_mm"] == 5
    minutes = {task["name"]: task["minutes"] for task in tested["labour"]["tasks"]}
    assert minutes["swatch"] == 0
    assert tested["yarn"]["basis"] == "your weighed swatch"
    assert tested["yarn"]["agree"] is True
    assert tested["yarn"]["by_area"]["low"] < tested["yarn"]["metres"]["likely"]
    assert tested["yarn"]["by_area"]["high"] > tested["yarn"]["metres"]["likely"]
    slipped = planned(sqlite_api, swatch={**SWATCH, "weighed_grams": 210})
    assert slipped["yarn"]["agree"] is False


def test_a_hook_that_is_named_goes_before_the_swatchs(sqlite_api: Api) -> None:
    assert planned(sqlite_api, swatch=SWATCH, hook_mm=5.5)["hook_mm"] == 5.5


def test_the_yarn_is_a_likely_amount_between_a_low_and_a_high(sqlite_api: Api) -> None:
    yarn = planned(sqlite_api)["yarn"]

    for unit in ("metres", "grams"):
        assert set(yarn[unit]) == {"low", "likely", "high"}
        assert 0 < yarn[unit]["low"] < yarn[unit]["likely"] < yarn[unit]["high"]
    assert isclose(yarn["grams"]["likely"] / yarn["metres"]["likely"], 100 / 170)
    balls = yarn["balls"]
    assert 1 <= balls["low"] <= balls["likely"] <= balls["high"] == balls["buy"]
    # The least number that suffices with 95 percent probability.
    chances = {choice["balls"]: choice["suffices"] for choice in yarn["choices"]}
    assert chances[balls["buy"]] == yarn["suffices"] >= 0.95
    assert all(chance < 0.95 for number, chance in chances.items() if number < balls["buy"])
    assert yarn["metres_95"]["low"] < yarn["metres"]["low"]


def test_the_minutes_of_the_tasks_add_up(sqlite_api: Api) -> None:
    labour = planned(sqlite_api)["labour"]

    assert isclose(sum(task["minutes"] for task in labour["tasks"]), labour["minutes"])


@pytest.mark.parametrize(
    ("rates", "places"),
    [
        ({}, 2),
        (PRICED, 2),
        ({**PRICED, "currency": "JPY", "wage_per_hour": "2400"}, 0),
        ({**PRICED, "currency": "KWD", "wage_per_hour": "5.125"}, 3),
    ],
)
def test_the_lines_of_the_price_are_text_and_add_up_to_the_total_exactly(
    sqlite_api: Api, rates: Json, places: int
) -> None:
    price = planned(sqlite_api, rates=rates)["price"]
    amounts = [line["amount"] for line in price["lines"]]

    assert all(isinstance(amount, str) for amount in [*amounts, price["total"]])
    assert sum(map(Decimal, amounts)) == Decimal(price["total"]) > 0
    assert Decimal(price["total"]).as_tuple().exponent == -places
    assert price["currency"] == rates.get("currency", "EUR")


def test_rows_are_worded_in_the_terms_asked_for(sqlite_api: Api) -> None:
    us, uk = planned(sqlite_api), planned(sqlite_api, terms="UK")

    assert (us["pattern"]["terms"], uk["pattern"]["terms"]) == ("US", "UK")
    pairs = list(zip(rows_of(us, "hood"), rows_of(uk, "hood"), strict=True))
    assert pairs[0][0]["text"].startswith("1 sc in each row end")
    assert pairs[0][1]["text"].startswith("1 dc in each row end")
    for here, there in pairs:
        assert here["operations"] == there["operations"]
        assert here["text"].replace(" sc ", " dc ") == there["text"]


def test_a_stop_is_planned_once_it_is_accepted_with_a_reason(sqlite_api: Api) -> None:
    body = {**HOOD, "measurements": SLIPPED}
    assert_problem(sqlite_api.post("/plans", body), 409, "stopped")
    plan = planned(
        sqlite_api,
        measurements=SLIPPED,
        accepted=[{"field": "neck_girth", "reason": "A hood for a toy dog."}],
    )

    assert [(f["field"], f["severity"]) for f in plan["findings"]] == [("neck_girth", "stop")]


def test_accepting_another_field_does_not_lift_the_stop(sqlite_api: Api) -> None:
    accepted = [{"field": "face_girth", "reason": "Measured twice."}]
    body = {**HOOD, "measurements": SLIPPED, "accepted": accepted}

    assert_problem(sqlite_api.post("/plans", body), 409, "stopped")


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"hook_mm": 31}, "hook_mm"),
        ({"swatch": {**SWATCH, "plain_rows": 81}}, "plain_rows"),
        ({"swatch": {**SWATCH, "weighed_stitches": None}}, "weighed_grams"),
        ({"yarn": {**YARN, "ball_metres": 0.5}}, "ball"),
        ({"rates": {"pace": {"sc": 0.01}}}, "pace"),
        ({"rates": {"currency": "XYZ"}}, "currency"),
    ],
)
def test_a_value_that_cannot_be_is_named(sqlite_api: Api, changes: Json, field: str) -> None:
    response = sqlite_api.post("/plans", {**HOOD, **changes})

    assert response.status_code == 422
    assert set(response.json()["fields"]) == {field}


def test_checks_and_plans_keep_nothing(sqlite_api: Api, sqlite_database: Database) -> None:
    def kept() -> list[Order]:
        with sqlite_database.reading() as session:
            return list(session.exec(select(Order)))

    before = len(kept())
    findings(sqlite_api, {"measurements": LENGTHS})
    planned(sqlite_api)

    assert len(kept()) == before
