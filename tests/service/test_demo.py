"""The demo shop shows what there is to see, and never touches a shop in use."""

from datetime import date

import pytest

from service.bodies import ShopIn
from service.db import Database
from service.demo import fill_demo
from service.shop import save_shop
from service.states import State
from tests.service.api import Api, FixedClock, Json


@pytest.fixture
def orders(api: Api, database: Database, clock: FixedClock) -> list[Json]:
    """The orders of the demo shop, whole, as the API shows them."""
    with database.writing() as session:
        assert fill_demo(session, clock())
    return [api.show(number) for number in api.numbers()]


def test_orders_stand_in_several_states(orders: list[Json]) -> None:
    assert {order["state"] for order in orders} >= {
        State.ENQUIRY,
        State.QUOTED,
        State.ACCEPTED,
        State.MAKING,
        State.FINISHED,
    }


def test_one_number_is_wrong_and_stops_its_order(orders: list[Json]) -> None:
    (stopped,) = [order for order in orders if order["plan"] is None]

    assert stopped["state"] == State.ENQUIRY
    (stop,) = [finding for finding in stopped["findings"] if finding["severity"] == "stop"]
    assert "inches" in stop["message"]
    assert stop["suggestion"]


def test_no_other_number_looks_wrong(orders: list[Json]) -> None:
    odd = {
        order["number"]: finding["message"]
        for order in orders
        for finding in order["findings"]
        if order["plan"] and finding["severity"] != "note"
    }

    assert odd == {}


def test_dates_lie_round_today(orders: list[Json], clock: FixedClock) -> None:
    today = clock().date()
    days = [(date.fromisoformat(order["asked"]["due"]) - today).days for order in orders]

    assert min(days) < 0 < max(days) < 60


def test_both_units_and_several_yarns_are_shown(orders: list[Json]) -> None:
    assert {order["asked"]["unit"] for order in orders} == {"cm", "in"}
    assert len({order["asked"]["yarn"]["name"] for order in orders}) == 4
    assert {order["plan"]["gauge"]["tested"] for order in orders if order["plan"]} == {True, False}


def test_one_buyer_has_two_dogs(orders: list[Json]) -> None:
    names = [order["asked"]["buyer"]["name"] for order in orders]

    assert len(names) - len(set(names)) == 1


def test_the_yarns_of_the_orders_are_on_the_shelf(api: Api, orders: list[Json]) -> None:
    shelf = {row["yarn"]["name"] for row in api.client.get("/api/v1/yarns").json()}

    assert {order["asked"]["yarn"]["name"] for order in orders} == shelf


def test_addresses_lead_nowhere(api: Api, orders: list[Json]) -> None:
    emails = [order["asked"]["buyer"]["email"] for order in orders]
    emails.append(api.client.get("/api/v1/shop").json()["email"])

    assert all(email.endswith(".example") for email in emails)


def test_a_second_filling_adds_nothing(
    api: Api, database: Database, clock: FixedClock, orders: list[Json]
) -> None:
    with database.writing() as session:
        assert not fill_demo(session, clock())

    assert len(api.numbers()) == len(orders)


def test_a_shop_with_an_order_is_left_alone(
    api: Api, database: Database, clock: FixedClock
) -> None:
    api.taken()
    with database.writing() as session:
        assert not fill_demo(session, clock())

    assert len(api.numbers()) == 1


def test_a_shop_with_settings_is_left_alone(
    api: Api, database: Database, clock: FixedClock
) -> None:
    with database.writing() as session:
        save_shop(session, ShopIn(name="Wrack Hoods"), 0)
    with database.writing() as session:
        assert not fill_demo(session, clock())

    assert api.numbers() == []
