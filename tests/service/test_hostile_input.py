"""Whatever is sent, the answer is a clear one, and never a fault of ours."""

import json
from typing import Any

import pytest
from httpx2 import Response

from tests.service.api import (
    DOG,
    LENGTHS,
    YARN,
    Api,
    Json,
    assert_problem,
    order_body,
)

JSON_TYPE = {"Content-Type": "application/json"}
UNWANTED = ["a\x00b", "a\x07b", "a\x1bb", "a\x7fb", "a\x85b", "a\u2028b"]


def send(api: Api, content: str | bytes) -> Response:
    return api.client.post("/api/v1/orders", content=content, headers=JSON_TYPE)


def planted(path: str, value: object) -> Json:
    """Return an order with a value at a dotted path."""
    body: Json = json.loads(json.dumps(order_body(accepted=[{"field": "x", "reason": "why not"}])))
    *way, last = path.split(".")
    place: Any = body
    for step in way:
        place = place[int(step)] if isinstance(place, list) else place.setdefault(step, {})
    place[last] = value
    return body


TEXTS = [
    "buyer.name",
    "buyer.email",
    "buyer.phone",
    "buyer.address",
    "dog.name",
    "dog.breed",
    "dog.weight",
    "measurements.neck_girth",
    "yarn.name",
    "yarn.lot",
    "notes",
    "accepted.0.reason",
    "accepted.0.field",
]


@pytest.mark.parametrize("path", TEXTS)
def test_a_control_character_is_refused_in_every_text(api: Api, path: str) -> None:
    for text in UNWANTED:
        problem = assert_problem(api.take(planted(path, text)), 422, "wrong-shape")

        assert set(problem["fields"]) == {path}
        assert f"U+{ord(text[1]):04X}" in problem["detail"]
    assert api.numbers() == []


@pytest.mark.parametrize("path", TEXTS)
def test_half_a_character_is_refused_in_every_text(api: Api, path: str) -> None:
    content = json.dumps(planted(path, "HALF")).replace("HALF", r"a\ud800b")

    problem = assert_problem(send(api, content), 422, "wrong-shape")
    assert set(problem["fields"]) == {path}


def test_a_change_and_a_move_refuse_them_too(api: Api) -> None:
    order = api.taken()

    assert_problem(api.change(order, {"notes": "a\x00b"}), 422, "wrong-shape")
    assert_problem(api.change(order, {"dog": {"name": "a\x00b"}}), 422, "wrong-shape")
    assert_problem(api.move(order, "quoted", note="a\x00b"), 422, "wrong-shape")
    assert_problem(api.move(order, "quo\x00ted"), 422, "wrong-shape")
    assert_problem(api.post("/yarns", {**YARN, "name": "a\x00b"}), 422, "wrong-shape")
    assert_problem(api.shop({"address": "a\x00b"}), 422, "wrong-shape")
    assert api.show(order["number"]) == order


def test_lines_are_kept_where_lines_may_be_and_refused_where_not(api: Api) -> None:
    order = api.taken(order_body(notes="one\ttab\r\ntwo\rthree"))
    assert order["asked"]["notes"] == "one\ttab\ntwo\nthree"

    problem = assert_problem(api.take(planted("dog.name", "two\nlines")), 422, "wrong-shape")
    assert "one line" in problem["detail"]


@pytest.mark.parametrize(
    ("path", "longest"),
    [
        ("buyer.name", 200),
        ("buyer.email", 254),
        ("buyer.phone", 60),
        ("buyer.address", 1000),
        ("dog.name", 200),
        ("dog.breed", 200),
        ("yarn.name", 200),
        ("notes", 2000),
        ("accepted.0.reason", 500),
    ],
)
def test_a_text_of_the_greatest_length_is_kept_and_a_longer_one_refused(
    api: Api, path: str, longest: int
) -> None:
    # The widest characters: four bytes each, and ß grows when it is folded for the search.
    for sign in ("\U0001f9f6", "ß"):
        number = api.taken(planted(path, sign * longest))["number"]
        assert sign * longest in json.dumps(api.show(number), ensure_ascii=False)

    problem = assert_problem(api.take(planted(path, "x" * (longest + 1))), 422, "wrong-shape")
    assert set(problem["fields"]) == {path}


@pytest.mark.parametrize("length", [41, 10_000])
def test_a_measurement_of_many_characters_is_refused_with_an_example(
    api: Api, length: int
) -> None:
    body = order_body(measurements={**LENGTHS, "neck_girth": "3" * length})

    problem = assert_problem(api.take(body), 422, "unreadable")
    assert "14 1/2 in" in problem["fields"]["neck_girth"]


def test_a_measurement_that_is_a_whole_book_is_refused_unread(api: Api) -> None:
    body = order_body(measurements={**LENGTHS, "neck_girth": "3" * 900_000})
    assert_problem(api.take(body), 422, "wrong-shape")

    body = order_body(measurements={**LENGTHS, "neck_girth": "3" * 2_000_000})
    assert_problem(api.take(body), 413, "http")


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e400", "1" * 400])
@pytest.mark.parametrize("path", ["hook_mm", "yarn.ball_metres", "yarn.ball_price"])
def test_a_number_that_is_none_is_refused_by_field(api: Api, path: str, number: str) -> None:
    content = json.dumps(planted(path, 8888)).replace("8888", number)

    problem = assert_problem(send(api, content), 422, "wrong-shape")
    assert set(problem["fields"]) == {path}


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{",
        b"null",
        b"[]",
        b"'",
        b"\xff\xfe",
        b'{"notes": "\xff"}',
        b"[" * 100_000,
        b'{"dog": ' * 50_000,
        b'{"a": ' * 600 + b"1" + b"}" * 600,
        b'{"hook_mm": ' + b"1" * 5_000 + b"}",
        b"\x00",
    ],
    ids=range(12),
)
def test_a_body_that_is_no_order_is_refused(api: Api, content: bytes) -> None:
    assert_problem(send(api, content), 422, "wrong-shape")


def test_a_body_that_is_no_json_is_told_what_to_send(api: Api) -> None:
    for content in (b"{", b"\xff\xfe", b"[" * 100_000):
        problem = assert_problem(send(api, content), 422, "wrong-shape")
        assert problem["fields"] == {"body": "This cannot be read. Send JSON in UTF-8"}


def test_a_change_nested_deep_is_refused(api: Api) -> None:
    order = api.taken()
    path, tag = f"/api/v1/orders/{order['number']}", {"If-Match": '"1"', **JSON_TYPE}
    for depth in (10, 100, 300, 500, 700, 900, 980, 5_000):
        content = '{"dog": ' * depth + "1" + "}" * depth
        response = api.client.patch(path, content=content, headers=tag)
        assert_problem(response, 422, "wrong-shape")


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "image/png"])
def test_a_body_of_another_kind_is_refused(api: Api, kind: str) -> None:
    response = api.client.post(
        "/api/v1/orders", content=json.dumps(order_body()), headers={"Content-Type": kind}
    )

    assert_problem(response, 422, "wrong-shape")


@pytest.mark.parametrize("key", ["\x00", "\x1b[31m", "__proto__", "x" * 10_000, ""])
def test_a_field_with_an_odd_name_is_refused(api: Api, key: str) -> None:
    problem = assert_problem(api.take({**order_body(), key: 1}), 422, "wrong-shape")

    assert len(problem["detail"]) <= 2000


def test_a_field_whose_name_is_half_a_character_is_refused(api: Api) -> None:
    order = api.taken()
    content = r'{"\ud800": 1}'

    assert_problem(send(api, content), 422, "wrong-shape")
    response = api.client.patch(
        f"/api/v1/orders/{order['number']}",
        content=content,
        headers={"If-Match": '"1"', **JSON_TYPE},
    )
    assert_problem(response, 422, "wrong-shape")


@pytest.mark.parametrize(
    "number", ["%00", "%ff", "%F0%9F%A7%B6", "2026-", "2026-00001x", "x" * 5_000, "2026-%D9%A1"]
)
def test_an_address_that_no_order_has_is_not_found(api: Api, number: str) -> None:
    assert_problem(api.client.get(f"/api/v1/orders/{number}"), 404, "not-found")


@pytest.mark.parametrize("words", ["%00", "a%00b", "%ff", "%ED%A0%80", "%F0%9F%A7%B6", "a%0Ab"])
def test_a_search_for_anything_is_answered(api: Api, words: str) -> None:
    api.taken(order_body(dog={**DOG, "name": "Moss"}))

    assert api.client.get(f"/api/v1/orders?q={words}").status_code == 200


def test_markup_in_a_name_is_only_text(api: Api) -> None:
    name = "<script>alert(1)</script> {{ 7*7 }} ${x} & co"
    order = api.taken(order_body(buyer={"name": name}))

    assert api.show(order["number"])["asked"]["buyer"]["name"] == name


def test_of_many_unknown_members_the_first_are_told_and_of_thousands_none(api: Api) -> None:
    many = {f"member{number}": 1 for number in range(150)}
    problem = assert_problem(api.post("/checks", many), 422, "wrong-shape")
    assert len(problem["fields"]) == 100
    assert "member0" in problem["fields"]

    thousands = {f"member{number}": 1 for number in range(20_000)}
    problem = assert_problem(api.post("/checks", thousands), 422, "wrong-shape")
    assert problem["fields"] == {"body": "Send at most 200 members here"}
