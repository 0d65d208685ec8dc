"""An order's answer is kept while the order stands, and no longer."""

from datetime import UTC, datetime

from service.orders import Standing
from service.web.answers import Answers
from tests.service.api import Api

AT = datetime(2027, 3, 1, tzinfo=UTC)


def test_the_one_not_asked_for_longest_gives_way() -> None:
    kept = Answers(most=2)
    one, two, three = (Standing(number, 1, AT, None) for number in (1, 2, 3))
    kept.keep(one, b"one")
    kept.keep(two, b"two")
    assert kept.get(one) == b"one"
    kept.keep(three, b"three")
    assert [kept.get(stands) for stands in (one, two, three)] == [b"one", None, b"three"]


def test_whatever_happens_to_an_order_is_in_the_next_answer(api: Api) -> None:
    order = api.taken()
    number = order["number"]
    assert api.show(number) == api.show(number) == order

    api.change(order, {"notes": "in two colours"})
    changed = api.show(number)
    assert changed["asked"]["notes"] == "in two colours"

    paid = {"amount": "12.00"}
    assert api.post(f"/orders/{number}/payments", paid).status_code == 201
    assert [event["kind"] for event in api.show(number)["history"]][-1] == "paid"

    moved = api.moved(changed, "quoted")
    shown = api.show(number)
    assert (shown["state"], shown["version"]) == ("quoted", moved["version"])
    answer = api.client.get(f"/api/v1/orders/{number}")
    assert answer.headers["ETag"] == f'"{moved["version"]}"'
    assert answer.headers["Content-Type"] == "application/json"
