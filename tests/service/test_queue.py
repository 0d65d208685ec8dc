"""The queue of the shop's own orders, on both databases."""

from datetime import date

import pytest

from tests.service.api import YARN, Api, Json, assert_problem, order_body

HOURS = {"monday": 2, "wednesday": 2, "saturday": 4}


def capacity(api: Api, **more: object) -> None:
    answer = api.shop({"capacity": {"hours": HOURS, "posting": 2, **more}})
    assert answer.status_code == 200, answer.text


def queued(api: Api) -> Json:
    answer = api.client.get("/api/v1/queue")
    assert answer.status_code == 200, answer.text
    found: Json = answer.json()
    return found


def accepted(api: Api, due: str | None = None, *more: str) -> Json:
    return api.moved(api.taken(order_body(due=due)), "accepted", *more)


def test_without_hours_the_queue_has_no_dates(api: Api) -> None:
    accepted(api, "2026-04-20")
    found = queued(api)
    assert not found["known"]
    assert [one["likely"] for one in found["queue"]] == [None]
    assert not found["queue"][0]["late"]


def test_accepted_orders_stand_in_the_queue_by_due_date_after_what_is_begun(api: Api) -> None:
    capacity(api)
    late, soon = accepted(api, "2026-05-20"), accepted(api, "2026-04-01")
    begun, undated = accepted(api, "2026-06-01", "making"), accepted(api)
    api.taken()
    api.moved(accepted(api), "making", "finished")

    found = queued(api)["queue"]

    order = [one["number"] for one in found]
    assert order == [one["number"] for one in (begun, soon, late, undated)]
    dates = [one["likely"] for one in found]
    assert dates == sorted(dates)
    assert found[0]["minutes"] == pytest.approx(begun["plan"]["labour"]["minutes"])
    assert all(date.fromisoformat(one["likely"]).weekday() in {0, 2, 4} for one in found)


def test_days_off_and_the_post_move_the_date(api: Api) -> None:
    capacity(api)
    accepted(api)
    before = queued(api)["queue"][0]["likely"]
    capacity(api, off=[{"first": "2026-03-14", "last": "2026-04-30"}])
    assert queued(api)["queue"][0]["likely"] > "2026-04-30" > before


def test_one_more_hood_says_when_and_what_slips(api: Api) -> None:
    capacity(api)
    mine = accepted(api, queued_day(api))
    trial = {"minutes": 600, "safe_minutes": 800, "due": "2026-03-17"}

    answer = api.post("/queue/trials", trial)

    assert answer.status_code == 200, answer.text
    found = answer.json()
    assert found["known"]
    assert found["safe"] > found["likely"] > "2026-03-17"
    assert found["late"]
    (slip,) = found["slips"]
    assert (slip["number"], slip["breaks"]) == (mine["number"], True)
    assert slip["after"] > slip["before"]
    late = api.post("/queue/trials", {"minutes": 600}).json()
    assert (late["slips"], late["late"]) == ([], False)
    assert late["likely"] > found["likely"]


def queued_day(api: Api) -> str:
    """The day that a hood just taken could be with its buyer."""
    api.taken()
    day: str = api.post("/queue/trials", {}).json()["likely"]
    return day


def test_a_usual_hood_is_like_those_planned_before(api: Api) -> None:
    capacity(api)
    assert api.post("/queue/trials", {}).json()["minutes"] is None
    order = api.taken()
    found = api.post("/queue/trials", {}).json()
    assert found["minutes"] == pytest.approx(order["plan"]["labour"]["minutes"])


@pytest.mark.parametrize(
    "told",
    [
        {"hours": {"monday": 25}},
        {"hours": {"someday": 1}},
        {"off": [{"first": "2026-05-02", "last": "2026-05-01"}]},
        {"off": [{"first": "2026-05-02"}]},
        {"posting": 400},
    ],
)
def test_hours_that_cannot_be_are_refused(api: Api, told: Json) -> None:
    assert_problem(api.shop({"capacity": told}), 422, "wrong-shape")


def test_an_order_that_has_no_plan_is_not_in_the_queue(api: Api) -> None:
    capacity(api)
    api.taken(order_body(yarn=YARN))
    assert queued(api)["queue"] == []
