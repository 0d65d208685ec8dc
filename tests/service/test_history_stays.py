"""What was written down stays: history, payments, bills; and a ticket prints as it printed."""

from datetime import timedelta
from typing import Any, Final

import pytest
from sqlalchemy import event

from service import orders, planning
from service.db import Database
from tests.service.api import Api, FixedClock, order_body
from tests.service.test_openapi import examples, operations, sent

ONCE: Final = ("order_event", "payment", "bill", "bench_event", "paper_copy", "alembic_version")
"""Tables whose rows are written once."""
ERASING: Final = ("erase", "forget")
"""Words of the addresses that take a person out, as the law may ask: they alone may."""


def test_no_route_of_the_api_changes_or_deletes_what_was_written_down(
    sqlite_database: Database, sqlite_api: Api
) -> None:
    document = sqlite_api.client.app.openapi()  # type: ignore[attr-defined]
    now: list[str] = [""]
    found: set[tuple[str, str]] = set()

    def look(_c: object, _d: object, statement: str, *_: Any) -> None:  # noqa: ANN401 - as it comes
        verb, *words = statement.replace('"', "").split()
        table = words[1] if verb == "DELETE" else words[0] if words else ""
        if verb in {"UPDATE", "DELETE"} and table in ONCE:
            found.add((now[0], table))

    event.listen(sqlite_database.engine, "before_cursor_execute", look)
    tried = 0
    try:
        for operation in operations(document):
            if operation.method == "get":
                continue
            now[0] = f"{operation.method} {operation.path}"
            for body in examples(operation) or [None]:
                sent(sqlite_api, operation, body)
                tried += 1
    finally:
        event.remove(sqlite_database.engine, "before_cursor_execute", look)

    assert tried > 20
    assert [one for one in found if not any(word in one[0] for word in ERASING)] == []


def test_a_ticket_prints_byte_for_byte_after_rates_rules_and_days_have_changed(
    api: Api, clock: FixedClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    order = api.moved(api.taken(order_body(notes="red")), "quoted", "accepted", "making")
    path = f"/api/v1/orders/{order['number']}"
    papers = ("work-ticket.pdf", "care-sheet.pdf", "chart.pdf")
    kept = [name for name in papers if api.client.get(f"{path}/{name}").status_code == 200]
    before = [api.client.get(f"{path}/{name}").content for name in kept]
    price = api.show(order["number"])["plan"]["price"]
    assert kept[:2] == ["work-ticket.pdf", "care-sheet.pdf"]

    rates = {"wage_per_hour": "99", "margin": "0.4", "overhead": "0.3"}
    changed = api.shop({"rates": rates})
    assert changed.is_success, changed.text

    def other(*_: object, **__: object) -> None:
        pytest.fail("a plan that is kept was made again")

    monkeypatch.setattr(orders, "ENGINE", "99")
    monkeypatch.setattr(orders, "plan_of", other)
    monkeypatch.setattr(planning, "make_plan", other, raising=False)
    clock.now += timedelta(days=500)

    assert [api.client.get(f"{path}/{name}").content for name in kept] == before
    assert api.show(order["number"])["plan"]["price"] == price
