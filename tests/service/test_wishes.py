"""Variants, work in hand and stock sizes on the wire."""

from dataclasses import replace
from typing import Any

import pytest

from service.work import judged
from service.workbodies import InHandIn
from sizing.plan import make_plan
from sizing.replan import Verdict
from sizing.units import LengthUnit
from sizing.wishes import Wishes
from tests.service.api import DOG, HOOD, SWATCH, YARN, Api, Json, order_body
from tests.sizing.test_wished_plans import big_headed

STRIPES: Json = {
    "collar": [{"colour": "cream", "rows": 6}, {"colour": "rust", "rows": 2}],
    "hood": [{"colour": "cream", "rows": 4}, {"colour": "rust", "rows": 4}],
}
WISHES: dict[str, Json] = {
    "buttoned": {"collar": "buttoned", "button": "22 mm"},
    "eared": {"ears": {"base": "4 cm", "from_centre": "2 1/2 in"}},
    "striped": {"stripes": STRIPES, "edging": "sl_st"},
    "horned": {
        "add_ons": [
            {"shape": "cone", "across": "6 cm", "long": "12 cm", "copies": 2, "colour": "gold"},
            {"shape": "disc", "across": "9 cm"},
        ]
    },
    "turned": {"turning_chain": 1, "hand": "left"},
}


def parts_of(plan: Json) -> list[str]:
    return [part["part"] for part in plan["pattern"]["parts"]]


@pytest.mark.parametrize("name", list(WISHES))
def test_an_order_keeps_its_wishes_and_prints_its_papers(api: Api, name: str) -> None:
    order = api.taken(order_body(swatch=SWATCH, wishes=WISHES[name]))

    shown = api.show(order["number"])
    assert shown["asked"]["wishes"] == order["asked"]["wishes"]
    for member, value in WISHES[name].items():
        if not isinstance(value, dict | list):
            assert shown["asked"]["wishes"][member] == value
    plan = shown["plan"]
    assert sum(float(line["amount"]) for line in plan["price"]["lines"]) == pytest.approx(
        float(plan["price"]["total"])
    )
    for paper in ("work-ticket", "care-sheet"):
        answer = api.client.get(f"/api/v1/orders/{order['number']}/{paper}.pdf")
        assert answer.status_code == 200
        assert answer.content.startswith(b"%PDF")


def planned(api: Api, wishes: Json) -> Json:
    answer = api.post("/plans", {**HOOD, "swatch": SWATCH, "wishes": wishes})
    assert answer.status_code == 200, answer.text
    plan: Json = answer.json()
    return plan


def test_each_variant_is_in_the_pattern(sqlite_api: Api) -> None:
    buttoned = planned(sqlite_api, WISHES["buttoned"])
    assert parts_of(buttoned) == ["collar", "hood", "crown_seam"]
    assert buttoned["pattern"]["parts"][0]["overlap"] >= 2
    assert buttoned["fit"]["passage"]["opens"] is True
    striped = planned(sqlite_api, WISHES["striped"])
    assert parts_of(striped)[-1] == "edging"
    collar = striped["pattern"]["parts"][0]["rows"]
    assert [row["colour"] for row in collar[:9]] == ["cream"] * 6 + ["rust"] * 2 + ["cream"]
    assert {need["colour"] for need in striped["yarn"]["colours"]} == {"cream", "rust"}
    horned = planned(sqlite_api, WISHES["horned"])
    cone = next(part for part in horned["pattern"]["parts"] if part["part"] == "cone")
    assert (cone["copies"], cone["rounds"]) == (2, True)
    eared = planned(sqlite_api, WISHES["eared"])
    operations = {
        one["op"] for row in eared["pattern"]["parts"][2]["rows"] for one in row["operations"]
    }
    assert {"ch", "skip", "sc_ch"} <= operations
    assert planned(sqlite_api, WISHES["turned"])["pattern"]["parts"][0]["turning_chain"] == 1


REFUSED: dict[str, tuple[Json, str, str]] = {
    "drawstring": ({"drawstring": True}, "drawstring", "strangle"),
    "half an ear": ({"ears": {"base": "4 cm", "from_centre": ""}}, "ear_from_centre", "two len"),
    "a mad ear": ({"ears": {"base": "4 x", "from_centre": "6"}}, "wishes.ears.base", "4 x"),
    "a small horn": (
        {"add_ons": [{"shape": "cone", "across": "2 cm", "long": "12 cm"}]},
        "wishes.add_ons.0.across",
        "swallowed",
    ),
    "a horn without length": (
        {"add_ons": [{"shape": "cone", "across": "6 cm"}]},
        "wishes.add_ons.0.long",
        "",
    ),
    "a colour of figures": (
        {"stripes": {**STRIPES, "hood": [{"colour": "12", "rows": 2}]}},
        "wishes.stripes",
        "letters",
    ),
}


@pytest.mark.parametrize("name", list(REFUSED))
def test_what_cannot_be_made_is_refused_with_its_field(sqlite_api: Api, name: str) -> None:
    wishes, field, said = REFUSED[name]
    answer = sqlite_api.post("/plans", {**HOOD, "swatch": SWATCH, "wishes": wishes})

    assert answer.status_code == 422, answer.text
    fields: dict[str, Any] = answer.json()["fields"]
    assert field in fields
    assert said in fields[field]


def test_a_chewer_gets_no_buttons(sqlite_api: Api) -> None:
    body = {**HOOD, "dog": {**DOG, "risks": ["chewer"]}, "wishes": {"collar": "buttoned"}}
    answer = sqlite_api.post("/plans", body)

    assert answer.status_code == 422, answer.text
    assert "chews" in answer.text


def test_a_looser_collar_is_asked_for_by_a_change(api: Api) -> None:
    measured = {**HOOD["measurements"], "head_girth": "56 cm"}
    order = api.taken(order_body(swatch=SWATCH, measurements=measured))
    assert order["plan"]["fit"]["passage"]["passes"] is False

    changed = api.change(order, {"wishes": {"collar": "looser"}}).json()

    assert changed["plan"]["fit"]["passage"]["passes"] is True
    assert changed["asked"]["wishes"]["collar"] == "looser"


def test_a_looser_collar_on_the_hook_is_not_taken_for_too_large(api: Api) -> None:
    measured = {**HOOD["measurements"], "head_girth": "56 cm"}
    wished = order_body(swatch=SWATCH, measurements=measured, wishes={"collar": "looser"})
    order = api.moved(api.taken(wished), "accepted", "making")
    finished, strip = order["plan"]["finished"], order["plan"]["pattern"]["parts"][0]["rows"]

    assert order["plan"]["target"]["collar_girth"] == pytest.approx(finished["collar_girth"])
    body = {
        "part": "collar",
        "rows_made": len(strip),
        "stitches_now": strip[0]["stitches"],
        "width": f"{finished['collar_height']:.3f} mm",
        "length": f"{finished['collar_girth']:.3f} mm",
    }
    judged = api.post(f"/orders/{order['number']}/in-hand", body).json()

    assert (judged["verdict"], judged["changed"]) == ("carry on", False)


def test_nor_is_one_whose_plan_by_an_earlier_version_names_the_usual_girth() -> None:
    asked = big_headed(Wishes(looser=True))
    plan, usual = make_plan(asked), make_plan(big_headed(Wishes()))
    earlier = replace(plan, target=usual.target, less=usual.less)
    rows, made = plan.rows, plan.finished
    body = InHandIn(
        part="collar",
        rows_made=rows.collar_rows,
        stitches_now=rows.collar_stitches,
        width=f"{made.collar_height:.3f} mm",
        length=f"{made.collar_girth:.3f} mm",
    )

    again = judged(earlier, body, LengthUnit.CM)

    assert (again.verdict, again.changed) == (Verdict.CARRY_ON, False)


IN_HAND: Json = {
    "part": "collar",
    "rows_made": 20,
    "stitches_now": 10,
    "width": "7.7 cm",
    "length": "13.4 cm",
}


def test_work_in_hand_is_judged_and_the_rest_planned(api: Api) -> None:
    order = api.taken(order_body(swatch=SWATCH))
    stitches = order["plan"]["pattern"]["parts"][0]["rows"][0]["stitches"]
    body = {**IN_HAND, "stitches_now": stitches, "width": f"{stitches / 13 * 10:.1f} cm"}
    answer = api.post(f"/orders/{order['number']}/in-hand", body)

    assert answer.status_code == 200, answer.text
    judged = answer.json()
    assert judged["verdict"] == "carry on"
    assert judged["row"] == 20
    rest = judged["rest"]
    assert [part["part"] for part in rest] == ["collar", "collar_seam", "hood", "crown_seam"]
    assert rest[0]["rows"][0]["row"] == 21
    # Nothing is kept of it.
    assert api.show(order["number"])["version"] == order["version"]


def test_a_piece_far_too_loose_wants_another_hook(api: Api) -> None:
    order = api.taken(order_body(swatch=SWATCH))
    stitches = order["plan"]["pattern"]["parts"][0]["rows"][0]["stitches"]
    body = {
        **IN_HAND,
        "stitches_now": stitches,
        "width": f"{stitches / 13 * 10 * 1.25:.1f} cm",
        "length": "17 cm",
    }
    judged = api.post(f"/orders/{order['number']}/in-hand", body).json()

    assert judged["verdict"] == "change hook"
    assert judged["hook_mm_change"] < 0


@pytest.mark.parametrize(
    ("change", "status"),
    [({"width": "wide"}, 422), ({"rows_made": 0}, 422), ({"part": "ear"}, 422)],
)
def test_a_piece_that_cannot_be_read_is_told(sqlite_api: Api, change: Json, status: int) -> None:
    order = sqlite_api.taken()
    answer = sqlite_api.post(f"/orders/{order['number']}/in-hand", {**IN_HAND, **change})
    assert answer.status_code == status, answer.text
    assert answer.json()["fields"]


def test_stock_sizes_name_the_dogs_they_fit(sqlite_api: Api) -> None:
    answer = sqlite_api.post("/stock-sizes", {"yarn": YARN, "heads": ["medium", "long"]})

    assert answer.status_code == 200, answer.text
    sizes = answer.json()["sizes"]
    assert [size["number"] for size in sizes] == list(range(1, len(sizes) + 1))
    for size in sizes:
        assert size["fits"]
        assert size["neck_girth"]["low"] < size["neck_girth"]["high"]
        assert size["head_girth"] > size["finished"]["collar_girth"]
    assert answer.json()["without"] == []
