"""What could not be kept is not answered as if it were."""

from collections.abc import Callable

import pytest
from httpx2 import Response

from tests.service.api import BUYER, YARN, Api, Json, assert_problem, order_body
from tests.service.conftest import FailingCommit

CHANGES: dict[str, Callable[[Api, Json], Response]] = {
    "hood_order": lambda api, _: api.take(order_body(buyer={**BUYER, "phone": "555 0117"})),
    "order_event": lambda api, order: api.change(order, {"notes": "red"}),
    "shop": lambda api, _: api.shop({"name": "Wrack Hoods"}),
    "yarn": lambda api, _: api.post("/yarns", YARN),
}


def whole(api: Api) -> list[Json]:
    paths = ("orders", "orders/2026-0001", "shop", "yarns")
    return [api.client.get(f"/api/v1/{path}").json() for path in paths]


@pytest.mark.parametrize("table", CHANGES)
def test_a_commit_that_fails_is_answered_as_our_fault_and_nothing_is_kept(
    api: Api, deferred_failure: FailingCommit, table: str
) -> None:
    order = api.taken()
    before = whole(api)
    deferred_failure.after_change_of(table)
    response = CHANGES[table](api, order)

    problem = assert_problem(response, 500, "fault")
    assert "nothing was changed" in problem["detail"]
    assert "Location" not in response.headers
    assert whole(api) == before


def test_a_move_whose_commit_fails_is_not_made(api: Api, deferred_failure: FailingCommit) -> None:
    order = api.taken()
    deferred_failure.after_change_of("order_event")

    assert_problem(api.move(order, "quoted"), 500, "fault")
    assert api.show(order["number"]) == order


def test_after_a_failed_commit_the_next_order_has_the_next_number(
    api: Api, deferred_failure: FailingCommit
) -> None:
    deferred_failure.after_change_of("hood_order")
    assert_problem(api.take(key="k"), 500, "fault")
    deferred_failure.undo()

    assert api.take(key="k").json()["number"] == "2026-0001"
