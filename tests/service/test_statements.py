"""No page asks the database once for each order: thirty take as many statements as three."""

import re
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from service.bodies import OrderIn
from service.db import Database
from service.models import Outcome
from service.orders import move_order, take_order
from service.states import State
from tests.service.api import SWATCH, YARN, Api, FixedClock, order_body
from tests.service.counting import counted

if TYPE_CHECKING:
    from collections.abc import Callable

    from httpx2 import Response

LANES: tuple[tuple[str, ...], ...] = (
    (),
    ("quoted",),
    ("accepted",),
    ("accepted", "making"),
    ("accepted", "making", "finished"),
    ("accepted", "making", "finished", "handed over"),
)
MOST = {
    "/": 10,
    "/orders": 4,
    "/queue": 3,
    "/queue/calendar.ics?hook=true": 6,
    "/figures": 11,
    "/yarns": 7,
    "/yarns/shopping": 4,
}
"""The most statements of each page, however many orders there are; one asks who looks."""

WHOLE = re.compile(r'(?:SELECT |, )hood_order\."?plan"?(?: AS|,|\s*\n)')
"""A plan among the columns, not a part of one."""


def _fill(database: Database, count: int, start: int) -> None:
    with database.writing() as session:
        for place in range(start, start + count):
            lane = LANES[place % len(LANES)]
            body = order_body(
                dog={"name": f"Dog {place}", "weight": "11 kg"},
                due=str(date(2026, 4, 1) + timedelta(days=place)),
                yarn={**YARN, "lot": f"lot {place}"},
                swatch=SWATCH,
            )
            order = take_order(session, OrderIn.model_validate(body), FixedClock.now)
            for state in lane:
                move_order(session, order.number, state, order.version, FixedClock.now, "by hand")
            if lane[-1:] in {(State.FINISHED,), (State.HANDED_OVER,)}:
                session.add(_outcome(order.id or 0, order.dog_id))


def _outcome(order_id: int, dog_id: int) -> Outcome:
    return Outcome(
        order_id=order_id, dog_id=dog_id, yarn=YARN["name"], at=FixedClock.now,
        told={"grams": 90, "minutes": 200, "collar": "good"},
        said={"grams": 88, "minutes": 190, "zones": {"collar": {"ratio": 1.2, "usual": 1.24}}},
    )  # fmt: skip


def _statements(api: Api, database: Database, address: str) -> int:
    with counted(database) as sent:
        answer = api.client.get(address)
    assert answer.status_code == 200, answer.text
    return len([one for one in sent if not one.startswith("BEGIN")])


def _order_page(api: Api, database: Database) -> tuple[int, int, int]:
    """Return the statements of a page that is not kept, of a first look, and of the next one.

    At the first look each question is asked once more, so that it can be known again.
    """
    api.client.app.state.kept.forget()  # type: ignore[attr-defined]
    addresses = ("/orders/2026-0004?at=30", "/orders/2026-0004", "/orders/2026-0004")
    made, first, next_look = (_statements(api, database, address) for address in addresses)
    return made, first, next_look


def test_no_page_asks_once_for_each_order(api: Api, database: Database) -> None:
    api.shop({"capacity": {"hours": {"monday": 4, "thursday": 4}}})
    api.post("/yarns", {**YARN, "lots": [{"lot": YARN["lot"], "balls": 3}]})
    _fill(database, 6, 0)
    few = {address: _statements(api, database, address) for address in MOST}
    order = _order_page(api, database)
    _fill(database, 30, 6)
    many = {address: _statements(api, database, address) for address in MOST}

    assert many == few
    assert {a: n for a, n in many.items() if n > MOST[a]} == {}
    assert _order_page(api, database) == order
    made, first, next_look = order
    assert made <= 20
    assert first < 2 * made
    assert next_look <= made


def test_no_page_reads_the_plans_of_many_orders_whole(api: Api, database: Database) -> None:
    """A plan is some 60 kB: a page of many orders reads parts of it, or none."""
    _fill(database, 6, 0)
    wholes = {}
    for address in MOST:
        with counted(database) as sent:
            api.client.get(address)
        wholes[address] = len([one for one in sent if WHOLE.search(one)])

    assert wholes == dict.fromkeys(MOST, 0)


def test_a_request_asks_no_more_than_it_must(api: Api, database: Database) -> None:
    """One statement asks whose key it is; each order of a known buyer takes eleven more."""
    asked = {"dog": {"weight": "11 kg"}, "measurements": {"neck_girth": "36 cm"}}
    api.take(key="the first")
    requests: dict[str, Callable[[], Response]] = {
        "list": lambda: api.listed(limit=50),
        "checks": lambda: api.post("/checks", asked),
        "order": lambda: api.take(key="the second"),
    }
    sent = {}
    for name, ask in requests.items():
        with counted(database) as statements:
            assert ask().status_code in {200, 201}
        sent[name] = len([one for one in statements if not one.startswith("BEGIN")])

    assert sent == {"list": 2, "checks": 2, "order": 12}


def test_a_plan_read_whole_is_seen(api: Api, database: Database) -> None:
    _fill(database, 1, 0)
    with counted(database) as sent:
        api.client.get("/orders/2026-0001")
    assert any(WHOLE.search(one) for one in sent)


@pytest.mark.parametrize("statements", [1, 2])
def test_the_counter_counts(database: Database, statements: int) -> None:
    with counted(database) as sent, database.reading() as session:
        for _ in range(statements):
            session.connection().exec_driver_sql("SELECT 1")
    assert sent.count("SELECT 1") == statements
