"""Order numbers never repeat, and an order sent twice is one order."""

from datetime import UTC, datetime, timedelta

import pytest
from starlette.testclient import TestClient

from service.db import Database
from service.web.application import create_app
from tests.entering import with_key
from tests.service.api import Api, FixedClock, assert_problem, at_once, order_body


def test_numbers_count_through_the_year(api: Api) -> None:
    assert [api.taken()["number"] for _ in range(3)] == ["2026-0001", "2026-0002", "2026-0003"]


def test_each_year_begins_anew_and_an_older_one_goes_on(api: Api, clock: FixedClock) -> None:
    api.taken()
    clock.now = datetime(2027, 1, 1, tzinfo=UTC)
    assert api.taken()["number"] == "2027-0001"
    clock.now -= timedelta(seconds=1)

    assert api.taken()["number"] == "2026-0002"


def test_a_refused_order_takes_no_number(api: Api) -> None:
    api.take(order_body(hook_mm=900))

    assert api.taken()["number"] == "2026-0001"


def test_the_ten_thousandth_order_of_a_year_is_still_an_order(
    api: Api, database: Database
) -> None:
    api.taken()
    with database.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE counter SET value = 9999")

    number = api.taken()["number"]
    assert number == "2026-10000"
    assert api.show(number)["number"] == number


def test_orders_taken_at_once_have_each_a_number_and_leave_no_gap(
    api: Api, database: Database
) -> None:
    answers = at_once(16, lambda _: api.take())

    numbers = sorted(answer.json()["number"] for answer in answers)
    assert numbers == [f"2026-{n:04d}" for n in range(1, 17)]
    with database.engine.connect() as connection:
        buyers = connection.exec_driver_sql("SELECT count(*) FROM buyer").scalar_one()
        dogs = connection.exec_driver_sql("SELECT count(*) FROM dog").scalar_one()
    assert (buyers, dogs) == (1, 1)


def test_sixty_four_writers_at_one_server_all_get_their_answer(
    database: Database, clock: FixedClock
) -> None:
    # One event loop with its forty worker threads, as in a real server: were the lock taken
    # before an endpoint has its thread, they would wait for one another for ever.
    app = create_app(database, clock)
    with with_key(TestClient(app, raise_server_exceptions=False)) as client:
        api = Api(client)
        answers = at_once(64, lambda _: api.take(), seconds=30)

        assert {answer.status_code for answer in answers} == {201}
        assert len(set(api.numbers(limit=200))) == 64


def test_the_same_key_and_order_is_one_order(api: Api) -> None:
    first, second = api.take(key="order-1"), api.take(key="order-1")

    assert (first.status_code, second.status_code) == (201, 201)
    assert second.json() == first.json()
    assert second.headers["Location"] == first.headers["Location"]
    assert api.numbers() == ["2026-0001"]


def test_the_same_key_is_known_however_the_order_is_written(api: Api) -> None:
    first = api.take(order_body(unit="cm", due=None), key="k")
    second = api.take(dict(reversed(order_body().items())), key="k")

    assert second.json()["number"] == first.json()["number"]


def test_a_repeated_order_is_answered_as_it_is_by_now(api: Api) -> None:
    order = api.take(key="k").json()
    api.moved(order, "quoted")
    again = api.take(key="k")

    assert (again.json()["state"], again.headers["ETag"]) == ("quoted", '"2"')


def test_the_same_key_with_another_order_is_refused(api: Api) -> None:
    api.take(key="k")

    assert_problem(api.take(order_body(notes="red"), key="k"), 422, "key-reused")
    assert api.numbers() == ["2026-0001"]


def test_another_key_and_no_key_are_new_orders(api: Api) -> None:
    for key in ("a", "b", None, None):
        api.take(key=key)

    assert len(api.numbers()) == 4


def test_a_key_whose_order_was_refused_may_be_used_again(api: Api) -> None:
    assert_problem(api.take(order_body(hook_mm=900), key="k"), 422, "out-of-range")

    assert api.take(key="k").status_code == 201


def test_the_same_order_sent_at_once_is_one_order(api: Api) -> None:
    answers = at_once(8, lambda _: api.take(key="k"))

    assert {answer.status_code for answer in answers} == {201}
    assert {answer.json()["number"] for answer in answers} == {"2026-0001"}
    assert api.numbers() == ["2026-0001"]


@pytest.mark.parametrize("key", ["", "x" * 201, "a\tb", "\x00"])
def test_a_key_that_cannot_be_kept_is_refused(api: Api, key: str) -> None:
    response = api.client.post(
        "/api/v1/orders", json=order_body(), headers={"Idempotency-Key": key}
    )

    problem = assert_problem(response, 422, "wrong-shape")
    assert set(problem["fields"]) == {"header.idempotency-key"}


def test_a_key_of_the_greatest_length_is_kept(api: Api) -> None:
    assert api.take(key="x" * 200).json() == api.take(key="x" * 200).json()
