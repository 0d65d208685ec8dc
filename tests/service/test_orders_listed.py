"""Orders are found again: by state, by date, by words, page by page."""

from base64 import urlsafe_b64encode
from datetime import date

import pytest

from service.db import Database
from service.listing import due_next
from tests.service.api import DOG, Api, assert_problem, order_body


def named(buyer: str, dog: str = "Bramble", breed: str = "", due: str | None = None) -> dict:  # type: ignore[type-arg]
    return order_body(
        buyer={"name": buyer}, dog={**DOG, "name": dog, "breed": breed, "weight": ""}, due=due
    )


def pages(api: Api, limit: int, **query: str) -> list[list[str]]:
    """Return the numbers on every page until there is no next."""
    found: list[list[str]] = []
    cursor = None
    while not found or cursor:
        asked = {**query, "limit": limit} | ({"cursor": cursor} if cursor else {})
        answer = api.listed(**asked).json()
        found.append([line["number"] for line in answer["orders"]])
        cursor = answer["next"]
        assert len(found) < 100
    return found


def test_an_empty_shop_has_an_empty_list(api: Api) -> None:
    assert api.listed().json() == {"orders": [], "next": None}


def test_a_line_of_the_list_says_who_what_and_when(api: Api) -> None:
    order = api.taken(order_body(due="2026-05-01"))

    assert api.listed().json()["orders"] == [
        {
            "number": "2026-0001",
            "state": "enquiry",
            "buyer": "Ottoline Wrack",
            "dog": "Bramble",
            "breed": "Beagle",
            "due": "2026-05-01",
            "stopped": False,
            "version": 1,
            "created_at": order["created_at"],
        }
    ]


def test_more_orders_than_a_page_come_once_each_newest_first(api: Api) -> None:
    taken = [api.taken()["number"] for _ in range(57)]
    first, second = pages(api, limit=50)
    assert first + second == taken[::-1]
    assert (len(first), len(second)) == (50, 7)

    by_default = api.listed().json()
    assert len(by_default["orders"]) == 50
    assert by_default["next"]


def test_orders_taken_while_paging_neither_shift_nor_double_the_rest(api: Api) -> None:
    taken = [api.taken()["number"] for _ in range(6)]
    first = api.listed(limit=3).json()
    api.taken()
    rest = api.numbers(limit=50, cursor=first["next"])

    assert [line["number"] for line in first["orders"]] + rest == taken[::-1]


def test_a_page_that_ends_with_the_last_order_has_no_next(api: Api) -> None:
    for _ in range(4):
        api.taken()

    assert [len(page) for page in pages(api, limit=2)] == [2, 2]


def test_the_list_is_filtered_by_state_and_by_due_date(api: Api) -> None:
    late = api.taken(named("A", due="2026-04-30"))["number"]
    api.taken(named("B", due="2026-05-02"))
    never = api.moved(api.taken(named("C")), "cancelled")["number"]

    assert api.numbers(due_by="2026-05-01") == [late]
    assert api.numbers(due_by="2026-04-29") == []
    assert api.numbers(state="cancelled") == [never]
    assert len(api.numbers(state="enquiry")) == 2
    assert api.numbers(state="handed over") == []


def test_filters_hold_on_every_page(api: Api) -> None:
    for index in range(9):
        order = api.taken()
        if index % 3 == 0:
            api.moved(order, "quoted")
    quoted = pages(api, limit=1, state="quoted")

    assert quoted == [["2026-0007"], ["2026-0004"], ["2026-0001"]]


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("wrack", {1, 2}),
        ("WRACK bramble", {1}),
        ("bramble wrack", {1}),
        ("beag", {1}),
        ("2026-0003", {3}),
        ("müller", {3}),
        ("MÜLLER straße", {3}),
        ("strasse", {3}),
        ("łącka", {4}),
        ("wrack müller", set()),
        ("   ", {1, 2, 3, 4}),
    ],
)
def test_words_of_buyer_dog_breed_or_number_find_orders(
    api: Api, words: str, found: set[int]
) -> None:
    api.taken(named("Ottoline Wrack", "Bramble", "Beagle"))
    api.taken(named("Ottoline Wrack", "Thistle"))
    api.taken(named("Jörg Müller-Straße", "Moos"))
    api.taken(named("Ewa Łącka", "Kluska"))

    assert {int(number[-4:]) for number in api.numbers(q=words)} == found


@pytest.mark.parametrize("words", ["%", "_", "%%%", "b_amble", "'", '"', "\\", "' OR 1=1 --", "/"])
def test_signs_that_mean_something_to_a_database_are_only_signs(api: Api, words: str) -> None:
    api.taken()

    assert api.numbers(q=words) == []


@pytest.mark.parametrize("name", ["100% Wool", "under_score", 'O\'Tool "Tip"', "back\\slash"])
def test_signs_that_mean_something_to_a_database_are_found(api: Api, name: str) -> None:
    wanted = api.taken(named(name))["number"]
    api.taken(named("Someone Else"))

    assert api.numbers(q=name) == [wanted]


@pytest.mark.parametrize(
    "cursor",
    ["!", "abc", "MTA", "é", "LTE=", "MA==", urlsafe_b64encode(b"9" * 15).decode(), "%00"],
)
def test_a_cursor_that_is_not_ours_is_refused(api: Api, cursor: str) -> None:
    assert_problem(api.listed(cursor=cursor), 422, "unreadable")


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("limit", 0),
        ("limit", 201),
        ("limit", "many"),
        ("state", "sleeping"),
        ("due_by", "2026-13-01"),
        ("q", "x" * 201),
        ("cursor", "x" * 101),
    ],
)
def test_a_parameter_out_of_bounds_is_named(api: Api, name: str, value: object) -> None:
    problem = assert_problem(api.listed(**{name: value}), 422, "wrong-shape")

    assert set(problem["fields"]) == {f"query.{name}"}


@pytest.mark.parametrize("limit", [1, 200])
def test_a_limit_at_its_bounds_is_taken(api: Api, limit: int) -> None:
    assert api.listed(limit=limit).status_code == 200


def test_what_is_due_next_is_still_to_be_made_and_the_nearest_first(
    api: Api, database: Database
) -> None:
    api.taken(named("later", due="2026-06-01"))
    api.taken(named("no date"))
    api.moved(api.taken(named("over", due="2026-01-01")), "cancelled")
    api.taken(named("soon", due="2026-03-20"))
    with database.reading() as session:
        due = [(order.due, order.number) for order in due_next(session)]

    assert due == [(date(2026, 3, 20), "2026-0004"), (date(2026, 6, 1), "2026-0001")]
