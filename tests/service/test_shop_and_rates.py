"""The shop's settings, its shelf, and which rates an order is priced with."""

from decimal import Decimal

import pytest

from tests.service.api import YARN, Api, Json, assert_problem, at_once, order_body

CHEAP: Json = {"name": "Wrack Hoods", "rates": {"currency": "EUR", "wage_per_hour": "12"}}
DEAR: Json = {"name": "Wrack Hoods", "rates": {"currency": "GBP", "wage_per_hour": "30"}}


def total(order: Json) -> tuple[Decimal, str]:
    price = order["plan"]["price"]
    return Decimal(price["total"]), price["currency"]


def test_a_new_shop_has_the_settings_to_start_with(api: Api) -> None:
    response = api.client.get("/api/v1/shop")

    assert response.headers["ETag"] == '"0"'
    assert (response.json()["unit"], response.json()["paper"]) == ("cm", "A4")


def test_the_shop_is_kept_as_it_was_set(api: Api) -> None:
    changed = api.shop({**CHEAP, "unit": "in", "terms": "UK", "paper": "Letter"})
    kept = api.client.get("/api/v1/shop")

    assert changed.status_code == 200
    assert changed.headers["ETag"] == kept.headers["ETag"] == '"1"'
    assert kept.json() == changed.json()
    assert (kept.json()["unit"], kept.json()["rates"]["wage_per_hour"]) == ("in", "12")


def test_the_shop_is_changed_on_the_version_that_was_seen(api: Api) -> None:
    api.shop(CHEAP)

    assert_problem(api.client.put("/api/v1/shop", json=DEAR), 428, "version-missing")
    stale = api.client.put("/api/v1/shop", json=DEAR, headers={"If-Match": '"0"'})
    assert_problem(stale, 412, "changed-meanwhile")


@pytest.mark.parametrize("before", [0, 1])
def test_of_many_changes_of_the_shop_at_once_exactly_one_is_made(api: Api, before: int) -> None:
    if before:
        api.shop(CHEAP)
    tag = {"If-Match": f'"{before}"'}
    answers = at_once(8, lambda _: api.client.put("/api/v1/shop", json=DEAR, headers=tag))

    assert sorted(answer.status_code for answer in answers) == [200] + [412] * 7


@pytest.mark.parametrize(
    ("rates", "field"),
    [({"currency": "XYZ"}, "currency"), ({"fee_share": "0.9"}, "fee_share")],
)
def test_rates_that_give_no_price_are_refused(api: Api, rates: Json, field: str) -> None:
    problem = assert_problem(api.shop({"rates": rates}), 422, "out-of-range")

    assert set(problem["fields"]) == {field}


def test_a_wage_in_a_currency_of_small_units_is_taken(api: Api) -> None:
    assert api.shop({"rates": {"currency": "KRW", "wage_per_hour": "12000"}}).status_code == 200


def test_yarns_on_the_shelf_are_listed_by_name(api: Api) -> None:
    for name in ("Sorrel DK", "Alder Chunky"):
        response = api.post("/yarns", {**YARN, "name": name})
        assert response.status_code == 201
        assert response.json()["yarn"]["name"] == name
    shelf = api.client.get("/api/v1/yarns").json()

    assert [row["yarn"]["name"] for row in shelf] == ["Alder Chunky", "Sorrel DK"]
    assert shelf[0]["yarn"] == {**YARN, "name": "Alder Chunky", "ball_metres": 170.0}
    assert shelf[0]["id"] > shelf[1]["id"]


def test_a_yarn_that_cannot_be_is_not_put_on_the_shelf(api: Api) -> None:
    twice = [{"fibre": "wool", "percent": 50}, {"fibre": "wool", "percent": 50}]

    assert_problem(api.post("/yarns", {**YARN, "fibres": twice}), 422, "out-of-range")
    assert api.client.get("/api/v1/yarns").json() == []


def test_an_enquiry_is_priced_with_the_rates_of_the_shop(api: Api) -> None:
    api.shop(CHEAP)
    cheap = api.taken()
    api.shop(DEAR)
    dear = api.taken()

    assert total(cheap)[1] == "EUR"
    assert total(dear)[1] == "GBP"
    assert total(dear)[0] > total(cheap)[0]
    assert total(api.show(cheap["number"])) == total(cheap)


def test_an_enquiry_that_changes_is_priced_with_the_new_rates(api: Api) -> None:
    api.shop(CHEAP)
    order = api.taken()
    api.shop(DEAR)
    changed = api.change(order, {"notes": "red"}).json()

    assert total(changed) == total(api.taken())


@pytest.mark.parametrize("states", [("quoted",), ("accepted",)])
def test_what_was_quoted_keeps_the_rates_it_was_quoted_with(
    api: Api, states: tuple[str, ...]
) -> None:
    api.shop(CHEAP)
    order = api.moved(api.taken(), *states)
    api.shop(DEAR)
    same = api.change(order, {"notes": "red"}).json()
    longer = api.change(same, {"measurements": {"neck_length": "9 cm"}}).json()

    assert total(same) == total(order)
    assert total(longer)[1] == "EUR"
    assert total(longer)[0] > total(order)[0]


def test_an_order_cannot_bring_rates_of_its_own(api: Api) -> None:
    assert_problem(api.take(order_body(rates=CHEAP["rates"])), 422, "wrong-shape")
