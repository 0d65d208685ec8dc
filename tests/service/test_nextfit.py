"""What a buyer said of one hood comes back as a suggestion for the dog's next; both databases."""

import pytest

from tests.service.api import DOG, LENGTHS, SWATCH, Api, Json, order_body


def handed_over(api: Api, **told: object) -> Json:
    """A hood that is with its buyer, and what was said of it then."""
    order = api.taken(order_body(swatch=SWATCH))
    order = api.moved(order, "accepted", "making", "finished", "handed over")
    answer = api.client.put(
        f"/api/v1/orders/{order['number']}/outcome",
        json=told,
        headers={"If-Match": f'"{order["version"]}"'},
    )
    assert answer.status_code == 200, answer.text
    kept: Json = answer.json()
    return kept


def suggested(api: Api, order: Json) -> Json | None:
    answer = api.client.get(f"/api/v1/orders/{order['number']}/fit-suggestion")
    assert answer.status_code == 200, answer.text
    found: Json | None = answer.json()
    return found


def collar(order: Json) -> float:
    girth: float = order["plan"]["target"]["collar_girth"]
    return girth


def take(api: Api, order: Json, taken: str) -> Json:
    answer = api.change(order, {"from_fittings": taken})
    assert answer.status_code == 200, answer.text
    changed: Json = answer.json()
    return changed


def test_what_was_tight_is_looser_at_once_and_can_be_left(api: Api) -> None:
    before = handed_over(api, collar="tight", note="a red line after an hour")

    order = api.taken(order_body(swatch=SWATCH))
    found = suggested(api, order)

    assert found
    assert found["taken"] is True
    assert found["because"] == [
        {"number": before["number"], "zone": "collar", "felt": "tight",
         "note": "a red line after an hour"}
    ]  # fmt: skip
    (zone,) = found["zones"]
    assert zone["planned"] == pytest.approx(zone["learned"]) == pytest.approx(collar(order))
    assert zone["usual"] == pytest.approx(collar(before))
    assert zone["usual"] < zone["learned"]

    left = take(api, order, "none")
    assert collar(left) == pytest.approx(collar(before))
    again = suggested(api, left)
    assert again
    assert again["taken"] is False
    assert collar(take(api, left, "all")) == pytest.approx(zone["learned"])


def test_what_was_loose_tightens_nothing_until_it_is_taken(api: Api) -> None:
    before = handed_over(api, collar="loose")

    order = api.taken(order_body(swatch=SWATCH))
    found = suggested(api, order)

    assert collar(order) == pytest.approx(collar(before))
    assert found
    assert found["taken"] is False
    assert found["zones"][0]["learned"] < found["zones"][0]["usual"]
    taken = take(api, order, "all")
    assert collar(taken) == pytest.approx(found["zones"][0]["learned"])
    assert suggested(api, taken) == {**found, "taken": True, "zones": [
        {**found["zones"][0], "planned": pytest.approx(collar(taken))}
    ]}  # fmt: skip


def test_what_comes_in_after_the_order_is_suggested_too(api: Api) -> None:
    order = api.taken(order_body(swatch=SWATCH))
    assert suggested(api, order) is None
    handed_over(api, nape="tight")
    found = suggested(api, order)
    assert found
    assert (found["taken"], [one["zone"] for one in found["zones"]]) == (False, ["nape"])
    assert take(api, order, "looser")["plan"]["target"]["nape"] == pytest.approx(
        found["zones"][0]["learned"]
    )


def test_a_collar_that_must_go_over_the_head_is_wider_than_any_suggestion(api: Api) -> None:
    handed_over(api, collar="tight", nape="tight")
    measured = {**LENGTHS, "head_girth": "56 cm"}
    order = api.taken(
        order_body(swatch=SWATCH, measurements=measured, wishes={"collar": "looser"})
    )
    found = suggested(api, order)
    assert found
    assert [one["zone"] for one in found["zones"]] == ["nape"]
    assert found["taken"] is True


def test_another_dog_gets_no_suggestion_nor_a_hood_on_the_hook(api: Api) -> None:
    handed_over(api, collar="tight")
    other = api.taken(order_body(swatch=SWATCH, dog={**DOG, "name": "Sedge"}))
    assert suggested(api, other) is None
    own = api.moved(api.taken(order_body(swatch=SWATCH)), "accepted")
    assert suggested(api, own) is not None
    assert suggested(api, api.moved(own, "making")) is None


def test_a_hood_that_fitted_moves_the_next_no_further_than_it_was_worn(api: Api) -> None:
    before = handed_over(api, collar="good", nape="good", opening="good")
    found = suggested(api, api.taken(order_body(swatch=SWATCH)))
    worn = before["plan"]["finished"]
    lengths = {"collar": "collar_girth", "nape": "nape", "opening": "face_opening"}
    assert found
    for zone in found["zones"]:
        ends = sorted((zone["usual"], worn[lengths[zone["zone"]]]))
        assert ends[0] - 0.1 <= zone["learned"] <= ends[1] + 0.1


def test_a_choice_that_is_none_is_refused(api: Api) -> None:
    order = api.taken()
    answer = api.change(order, {"from_fittings": "much tighter"})
    assert answer.status_code == 422
    assert "from_fittings" in answer.json()["fields"]
