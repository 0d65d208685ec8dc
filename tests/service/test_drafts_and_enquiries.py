"""Drafts, enquiries, and what is done to several at once, by the API, on both databases."""

from datetime import timedelta

from sqlmodel import select

from service.db import Database
from service.drafts import KEPT
from service.models import Buyer
from tests.service.api import Api, FixedClock, Json, assert_problem, order_body

HALF: Json = {"fields": {"dog.name": ["Pipkin"], "measurements.neck_girth": ["35,5"]}}
MORE: Json = {"fields": {**HALF["fields"], "buyer.name": ["Tilda Fenwright"]}}
ASKED: Json = {
    "name": "Perpetua Quill",
    "email": "perpetua@quill.example",
    "dog": "Fig",
    "breed": "Beagle",
    "weight": "11 kg",
    "neck_length": "8",
    "neck_girth": "35.5",
    "nape_length": "11,5 cm",
    "face_girth": "38",
    "wish": "In dark green.",
}


def at(version: int) -> dict[str, str]:
    return {"If-Match": f'"{version}"'}


def test_a_draft_is_kept_read_typed_on_and_thrown_away(api: Api) -> None:
    made = api.post("/drafts", HALF)
    assert made.status_code == 201, made.text
    kept, where = made.json(), made.headers["Location"]
    assert (kept["whom"], kept["version"], made.headers["ETag"]) == ("Pipkin", 1, '"1"')
    assert kept["fields"] == HALF["fields"]

    assert_problem(api.client.put(where, json=MORE), 428, "version-missing")
    changed = api.client.put(where, json=MORE, headers=at(1))
    assert (changed.status_code, changed.headers["ETag"]) == (200, '"2"')
    assert_problem(api.client.put(where, json=HALF, headers=at(1)), 412, "changed-meanwhile")
    assert api.client.get(where).json()["fields"] == MORE["fields"]
    (line,) = api.client.get("/api/v1/drafts").json()
    assert line == {name: changed.json()[name] for name in ("id", "version", "at", "whom")}

    assert_problem(api.client.delete(where), 428, "version-missing")
    assert_problem(api.client.delete(where, headers=at(1)), 412, "changed-meanwhile")
    assert api.client.delete(where, headers=at(2)).status_code == 204
    assert_problem(api.client.get(where), 404, "not-found")
    assert api.client.get("/api/v1/drafts").json() == []


def test_the_same_key_and_fields_are_one_draft_and_never_one_beside_its_order(api: Api) -> None:
    key = {"Idempotency-Key": "a-form-of-its-own"}
    first, again = (api.client.post("/api/v1/drafts", json=HALF, headers=key) for _ in "12")
    assert first.json() == again.json()
    other = api.client.post("/api/v1/drafts", json=MORE, headers=key)
    assert_problem(other, 422, "key-reused")

    assert api.take(key=first.json()["key"]).status_code == 201
    where = first.headers["Location"]
    assert_problem(api.client.put(where, json=MORE, headers=at(1)), 409, "not-allowed-now")
    assert api.client.delete(where, headers=at(1)).status_code == 204
    late = api.client.post("/api/v1/drafts", json=HALF, headers=key)
    assert_problem(late, 409, "not-allowed-now")


def test_a_draft_is_no_place_to_keep_anything_of_any_size(api: Api) -> None:
    much = {"fields": {f"notes.{place}": ["x" * 2000] for place in range(21)}}
    assert_problem(api.post("/drafts", much), 422, "unreadable")
    assert_problem(api.post("/drafts", {"fields": {"<b>": ["x"]}}), 422, "wrong-shape")
    assert_problem(api.post("/drafts", {"fields": {"notes": ["\0"]}}), 422, "wrong-shape")
    assert api.client.get("/api/v1/drafts").json() == []


def test_a_draft_nobody_goes_on_with_is_gone_after_its_time(api: Api, clock: FixedClock) -> None:
    where = api.post("/drafts", HALF).headers["Location"]
    clock.now += KEPT + timedelta(seconds=1)
    api.post("/drafts", MORE)
    assert_problem(api.client.get(where), 404, "not-found")


def test_an_enquiry_is_written_down_looked_at_and_its_order_is_there(api: Api) -> None:
    key = {"Idempotency-Key": "a-letter"}
    first, again = (api.client.post("/api/v1/enquiries", json=ASKED, headers=key) for _ in "12")
    assert first.status_code == 201, first.text
    kept = first.json()
    assert again.json() == kept
    assert kept["told"]["neck_girth.1"] == "35.5"
    assert api.show(kept["number"])["asked"]["dog"]["name"] == "Fig"
    assert api.client.get("/api/v1/enquiries").json() == [kept]
    assert api.client.get(first.headers["Location"]).json() == kept

    seen = api.client.post(f"{first.headers['Location']}/looked")
    assert seen.json()["looked_at"] is not None
    assert api.client.get("/api/v1/enquiries").json() == []


def test_an_enquiry_without_lengths_makes_no_order_and_goes_when_it_is_deleted(api: Api) -> None:
    made = api.post("/enquiries", {"name": "Perpetua Quill", "email": "perpetua@quill.example"})
    assert made.json()["number"] is None
    where = made.headers["Location"]
    assert api.client.delete(where).status_code == 204
    assert_problem(api.client.get(where), 404, "not-found")
    wrong = assert_problem(
        api.post("/enquiries", {**ASKED, "email": "nowhere"}), 422, "unreadable"
    )
    assert "email" in wrong["fields"]


def test_an_enquiry_whose_order_was_worked_on_is_not_deleted(api: Api) -> None:
    made = api.post("/enquiries", ASKED)
    api.move(api.show(made.json()["number"]), "quoted")
    assert_problem(api.client.delete(made.headers["Location"]), 409, "not-allowed-now")


def test_orders_that_go_together_move_together(api: Api) -> None:
    first, other = api.taken(), api.taken()
    joined = f"/api/v1/orders/{other['number']}/together"
    assert api.client.put(f"{joined}/{first['number']}").status_code == 200
    version = api.show(other["number"])["version"]
    to = {"to": "accepted", "note": "by telephone"}
    assert_problem(api.client.post(f"{joined}/state", json=to), 428, "version-missing")
    moved = api.client.post(f"{joined}/state", json=to, headers=at(version))
    assert moved.status_code == 200, moved.text
    assert moved.headers["ETag"] == f'"{moved.json()["version"]}"'
    assert {api.show(one["number"])["state"] for one in (first, other)} == {"accepted"}
    assert_problem(
        api.client.post(f"{joined}/state", json=to, headers=at(1)), 412, "changed-meanwhile"
    )


def test_buyers_of_long_ago_are_erased_as_the_shop_says(
    api: Api, database: Database, clock: FixedClock
) -> None:
    api.moved(api.taken(order_body()), "cancelled")
    assert api.post("/buyers/erase-old", None).json() == {"buyers": 0}
    api.shop({"forget_after": 2})
    clock.now += timedelta(days=3 * 366)
    assert api.post("/buyers/erase-old", None).json() == {"buyers": 1}
    with database.reading() as session:
        assert session.exec(select(Buyer.name)).one() != "Ottoline Wrack"
