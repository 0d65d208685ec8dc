"""What to do next: one line for each thing that waits, on both databases."""

import re

import pytest

from service.db import Database
from service.demo import fill_demo
from service.given import DeliveryState
from service.models import Delivery, DeliveryPaper, PaperCopy
from service.orders import order_by_number
from tests.service.api import YARN, Api, FixedClock, Json, order_body, stopped_body


def tasks(api: Api) -> list[Json]:
    answer = api.client.get("/api/v1/today")
    assert answer.status_code == 200, answer.text
    found: list[Json] = answer.json()
    return found


def texts(api: Api) -> list[str]:
    return [one["text"] for one in tasks(api)]


def stocked(api: Api) -> None:
    """Put so much yarn on the shelf that nothing is to buy."""
    api.post("/yarns", {**YARN, "lots": [{"lot": YARN["lot"], "balls": 50}]})


def test_an_empty_shop_has_nothing_to_do(api: Api) -> None:
    assert tasks(api) == []


@pytest.mark.parametrize(
    ("states", "text"),
    [
        ((), "Send Ottoline Wrack the price of Bramble\u2019s hood"),
        (("quoted",), "Ask Ottoline Wrack for an answer on Bramble\u2019s hood"),
        (("accepted",), "Begin Bramble\u2019s hood"),
        (("accepted", "making"), "Go on with Bramble\u2019s hood"),
        (("accepted", "making", "finished"), "Send the papers of Bramble\u2019s hood"),
    ],
)
def test_each_state_waits_for_its_step(api: Api, states: tuple[str, ...], text: str) -> None:
    stocked(api)
    order = api.moved(api.taken(), *states)

    (one,) = tasks(api)

    assert one["text"] == text
    assert one["numbers"] == [order["number"]]
    assert one["link"].startswith(f"/orders/{order['number']}")


@pytest.mark.parametrize("state", ["cancelled", "handed over"])
def test_what_is_closed_waits_for_nothing(api: Api, state: str) -> None:
    ways = {"cancelled": ("cancelled",)}
    api.moved(api.taken(), *ways.get(state, ("accepted", "making", "finished", state)))
    assert tasks(api) == []


def test_a_number_in_question_comes_before_every_other_step_of_its_order(api: Api) -> None:
    order = api.taken(stopped_body())

    (one,) = tasks(api)

    assert one["text"] == "Settle Bramble\u2019s neck girth"
    assert one["link"] == f"/orders/{order['number']}#neck_girth"


def test_a_number_accepted_as_it_is_is_not_asked_again(api: Api) -> None:
    accepted = [{"field": "neck_girth", "reason": "measured three times"}]
    order = api.taken(stopped_body())
    answer = api.change(order, {"accepted": accepted})
    assert answer.status_code == 200, answer.text
    assert texts(api) == ["Send Ottoline Wrack the price of Bramble\u2019s hood"]


def test_papers_that_are_given_leave_the_handing_over(api: Api, database: Database) -> None:
    stocked(api)
    order = api.moved(api.taken(), "accepted", "making", "finished")
    clock = FixedClock.now
    with database.writing() as session:
        owner = order_by_number(session, order["number"]).id or 0
        copy = PaperCopy(
            order_id=owner, kind="care", name="care.pdf", media="application/pdf", sha256="0" * 64,
            content=b"%PDF", order_version=order["version"], made_at=clock,
        )  # fmt: skip
        sent = Delivery(
            order_id=owner, kind="papers", language="en", state=DeliveryState.SENT.value,
            next_at=clock, created_at=clock,
        )  # fmt: skip
        session.add_all([copy, sent])
        session.flush()
        paper = DeliveryPaper(delivery_id=sent.id or 0, paper_id=copy.id or 0, place=0)
        session.add(paper)

    assert texts(api) == ["Hand over Bramble\u2019s hood"]


def test_yarn_that_runs_short_is_to_buy_by_the_day_of_its_first_hood(api: Api) -> None:
    for day in ("2026-06-01", "2026-04-10"):
        api.moved(api.taken(order_body(due=day)), "accepted")

    (buy,) = [one for one in tasks(api) if one["kind"] == "buy yarn"]

    assert buy["day"] == "2026-04-10"
    assert re.fullmatch(r"Buy \d balls? of Hemlock Aran, lot K 214, for Bramble", buy["text"])
    assert tasks(api)[0] == buy


def test_the_promised_day_decides_the_order(api: Api) -> None:
    stocked(api)
    api.shop({"capacity": {"hours": {"monday": 4, "friday": 4}}})
    late = api.moved(api.taken(order_body(due="2026-03-15")), "accepted")
    undated = api.moved(api.taken(order_body()), "accepted")
    soon = api.taken(order_body(due="2026-03-20"))

    found = tasks(api)

    order = [one["numbers"][0] for one in found]
    assert order[:2] == [late["number"], soon["number"]]
    assert order[2] == undated["number"]
    assert (found[0]["late"], found[0]["due"]) == (True, True)
    assert (found[2]["due"], found[2]["day"] > "2026-03-20") == (False, True)


def test_the_demo_shop_has_something_of_most_kinds(api: Api, database: Database) -> None:
    with database.writing() as session:
        fill_demo(session, FixedClock.now)
    kinds = {one["kind"] for one in tasks(api)}
    assert kinds >= {
        "settle a number", "answer a buyer", "buy yarn", "go on with a hood", "begin a hood",
        "send papers", "ask for an answer",
    }  # fmt: skip
