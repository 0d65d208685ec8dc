"""An order goes in: it is kept as it was given, planned if nothing stops it."""

from typing import Any

import pytest
from sqlmodel import Session, select

from service.db import Database
from service.models import Buyer, Dog
from tests.service.api import (
    DOG,
    LENGTHS,
    SLIPPED,
    Api,
    FixedClock,
    assert_problem,
    lengths_given,
    order_body,
    stopped_body,
)


def rows(database: Database, table: type[Buyer] | type[Dog]) -> list[Any]:
    with Session(database.engine) as session:
        return list(session.exec(select(table)))


def test_a_new_order_is_answered_with_its_address_its_version_and_itself(
    api: Api, clock: FixedClock
) -> None:
    response = api.take()
    order = response.json()

    assert response.status_code == 201
    assert response.headers["Location"] == "/api/v1/orders/2026-0001"
    assert response.headers["ETag"] == '"1"'
    assert (order["number"], order["state"], order["version"]) == ("2026-0001", "enquiry", 1)
    assert order["created_at"] == order["changed_at"] == clock.now.isoformat()[:-6] + "Z"
    assert order["next_states"] == ["quoted", "accepted", "cancelled"]
    assert order["plan"]["pattern"]["parts"]


def test_the_address_given_leads_to_the_same_order(api: Api) -> None:
    response = api.take()
    again = api.client.get(response.headers["Location"])

    assert again.headers["ETag"] == response.headers["ETag"]
    assert again.json() == response.json()


def test_measurements_keep_their_text_beside_the_millimetres(api: Api) -> None:
    order = api.taken()

    assert lengths_given(order) == LENGTHS
    assert order["measurements"] == {
        "neck_length": {"text": "8 cm", "mm": 80, "shown": "8.0 cm"},
        "neck_girth": {"text": "35,5 cm", "mm": 355, "shown": "35.5 cm"},
        "nape_length": {"text": "4 1/2 in", "mm": pytest.approx(114.3), "shown": "11.45 cm"},
        "face_girth": {"text": " 380 mm", "mm": 380, "shown": "38.0 cm"},
    }


def test_a_bare_number_is_read_in_the_orders_unit(api: Api) -> None:
    inches = {**LENGTHS, "neck_girth": "14"}
    order = api.taken(order_body(measurements=inches, unit="in"))

    shown = order["measurements"]["neck_girth"]
    assert shown == {"text": "14", "mm": pytest.approx(355.6), "shown": "14 in"}


def test_a_number_that_stops_the_plan_does_not_lose_the_order(api: Api) -> None:
    order = api.taken(stopped_body())
    stops = [finding for finding in order["findings"] if finding["severity"] == "stop"]

    assert order["plan"] is None
    assert [stop["field"] for stop in stops] == ["neck_girth"]
    assert stops[0]["suggestion_mm"] == pytest.approx(368.3)
    assert lengths_given(api.show(order["number"])) == SLIPPED
    assert api.listed().json()["orders"][0]["stopped"] is True


def test_a_stop_accepted_with_a_reason_is_planned_and_the_reason_kept(api: Api) -> None:
    accepted = [{"field": "neck_girth", "reason": "A hood for a toy dog, it is so."}]
    order = api.taken(stopped_body(accepted=accepted))

    assert order["plan"] is not None
    assert order["asked"]["accepted"] == accepted
    assert order["history"][0]["kind"] == "taken"
    assert order["history"][0]["change"]["asked"]["accepted"] == accepted
    assert [f["severity"] for f in order["plan"]["findings"] if f["field"] == "neck_girth"] == [
        "stop"
    ]


@pytest.mark.parametrize("reason", ["", "  ", "ok"])
def test_a_stop_is_not_accepted_without_a_reason(api: Api, reason: str) -> None:
    body = stopped_body(accepted=[{"field": "neck_girth", "reason": reason}])

    problem = assert_problem(api.take(body), 422, "wrong-shape")
    assert set(problem["fields"]) == {"accepted.0.reason"}


def test_all_fields_that_cannot_be_read_are_named_at_once_and_nothing_is_kept(
    api: Api, database: Database
) -> None:
    measurements = {**LENGTHS, "neck_girth": "wide", "face_girth": "-3 cm"}
    response = api.take(order_body(measurements=measurements, dog={**DOG, "weight": "heavy"}))

    problem = assert_problem(response, 422, "unreadable")
    assert set(problem["fields"]) == {"neck_girth", "face_girth", "weight"}
    assert all("Write it like this" in said for said in problem["fields"].values())
    assert api.numbers() == []
    assert rows(database, Buyer) == []


def test_a_field_that_no_order_has_is_refused_by_name(api: Api) -> None:
    problem = assert_problem(api.take(order_body(neck="35 cm")), 422, "wrong-shape")

    assert set(problem["fields"]) == {"neck"}


def test_a_yarn_whose_fibres_do_not_add_up_is_refused_by_field(api: Api) -> None:
    yarn = {**order_body()["yarn"], "fibres": [{"fibre": "wool", "percent": 90}]}

    problem = assert_problem(api.take(order_body(yarn=yarn)), 422, "unreadable")
    assert set(problem["fields"]) == {"fibres"}


def test_buyer_and_dog_are_remembered_with_their_latest_numbers(
    api: Api, database: Database
) -> None:
    api.taken()
    buyer = {**order_body()["buyer"], "phone": "555 0117"}
    longer = {**LENGTHS, "neck_girth": "36.5 cm"}
    api.taken(order_body(buyer=buyer, dog={**DOG, "weight": "12 kg"}, measurements=longer))

    (person,), (dog,) = rows(database, Buyer), rows(database, Dog)
    assert (person.name, person.phone) == ("Ottoline Wrack", "555 0117")
    assert dog.buyer_id == person.id
    assert dog.details["weight"] == "12 kg"
    assert dog.measurements == {**longer, "unit": "cm"}


def test_another_dog_of_the_same_buyer_and_a_namesake_are_kept_apart(
    api: Api, database: Database
) -> None:
    api.taken()
    api.taken(order_body(dog={**DOG, "name": "Thistle"}))
    api.taken(order_body(buyer={"name": "Ottoline Wrack", "email": "other@wrack.example"}))

    assert sorted(dog.name for dog in rows(database, Dog)) == ["Bramble", "Bramble", "Thistle"]
    assert len(rows(database, Buyer)) == 2


def test_an_order_keeps_what_it_asked_when_its_dog_has_grown(api: Api) -> None:
    first = api.taken()
    api.taken(order_body(measurements={**LENGTHS, "neck_girth": "37 cm"}))

    assert api.show(first["number"]) == first


def test_names_of_all_europe_come_back_as_they_were(api: Api) -> None:
    buyer = {"name": "Þórný Ő'Kéfe-Łącka Žižek Αθηνά Юлія", "address": "Ulica Ø 1\r\n00-1"}
    order = api.taken(order_body(buyer=buyer, notes="½ sc — “soft”"))

    assert order["asked"]["buyer"]["name"] == buyer["name"]
    assert order["asked"]["buyer"]["address"] == "Ulica Ø 1\n00-1"
    assert order["asked"]["notes"] == "½ sc — “soft”"
