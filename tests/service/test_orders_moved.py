"""An order moves from state to state, along the table and no other way."""

from itertools import product

import pytest

from tests.service.api import Api, Json, assert_problem, at_once, stopped_body

# Written down a second time on purpose: a slip in the table of the service is found here.
ALLOWED = {
    "enquiry": {"quoted", "accepted", "cancelled"},
    "quoted": {"enquiry", "accepted", "cancelled"},
    "accepted": {"quoted", "making", "cancelled"},
    "making": {"accepted", "finished", "cancelled"},
    "finished": {"making", "handed over"},
    "handed over": {"finished"},
    "cancelled": {"enquiry"},
}
WAY_TO = {
    "enquiry": (),
    "quoted": ("quoted",),
    "accepted": ("accepted",),
    "making": ("accepted", "making"),
    "finished": ("accepted", "making", "finished"),
    "handed over": ("accepted", "making", "finished", "handed over"),
    "cancelled": ("cancelled",),
}
PAIRS = list(product(ALLOWED, ALLOWED))


def order_that_is(state: str, api: Api) -> Json:
    return api.moved(api.taken(), *WAY_TO[state])


@pytest.mark.parametrize(("old", "new"), [pair for pair in PAIRS if pair[1] in ALLOWED[pair[0]]])
def test_an_order_takes_every_step_of_the_table(api: Api, old: str, new: str) -> None:
    order = order_that_is(old, api)
    assert set(order["next_states"]) == ALLOWED[old]
    response = api.move(order, new, note="as agreed")

    assert response.status_code == 200
    moved = response.json()
    assert moved["state"] == new
    assert response.headers["ETag"] == f'"{order["version"] + 1}"'
    event = moved["history"][-1]
    assert (event["kind"], event["note"]) == ("moved", "as agreed")
    assert event["change"] == {"state": [old, new]}


@pytest.mark.parametrize(
    ("old", "new"), [pair for pair in PAIRS if pair[1] not in ALLOWED[pair[0]]]
)
def test_an_order_takes_no_other_step_and_is_told_which_it_can(
    api: Api, old: str, new: str
) -> None:
    order = order_that_is(old, api)
    problem = assert_problem(api.move(order, new), 409, "not-allowed-now")

    assert all(state in problem["detail"] for state in ALLOWED[old])
    assert api.show(order["number"]) == order


@pytest.mark.parametrize("promise", ["quoted", "accepted"])
def test_an_order_without_a_plan_promises_nothing(api: Api, promise: str) -> None:
    order = api.taken(stopped_body())
    problem = assert_problem(api.move(order, promise), 409, "not-allowed-now")

    assert "correct or accept" in problem["detail"]
    assert api.move(order, "cancelled").status_code == 200


def test_an_order_whose_number_was_spoilt_after_it_was_accepted_is_not_made(api: Api) -> None:
    order = api.moved(api.taken(), "accepted")
    spoilt = api.change(order, {"measurements": {"neck_girth": "14.5"}}).json()

    assert spoilt["plan"] is None
    assert_problem(api.move(spoilt, "making"), 409, "not-allowed-now")


def test_a_state_that_is_none_is_answered_with_all_there_are(api: Api) -> None:
    order = api.taken()
    problem = assert_problem(api.move(order, "sleeping"), 422, "unreadable")

    assert set(problem["fields"]) == {"to"}
    assert all(state in problem["detail"] for state in ALLOWED)


def test_a_move_needs_the_version_that_was_seen(api: Api) -> None:
    order = api.taken()
    path = f"/orders/{order['number']}/state"
    assert_problem(api.post(path, {"to": "quoted"}), 428, "version-missing")
    stale = api.post(path, {"to": "quoted"}, If_Match='"9"')

    assert_problem(stale, 412, "changed-meanwhile")
    assert api.show(order["number"]) == order


def test_of_many_moves_at_once_exactly_one_is_made(api: Api) -> None:
    order = api.taken()
    answers = at_once(8, lambda _: api.move(order, "quoted"))

    assert sorted(answer.status_code for answer in answers) == [200] + [412] * 7
    assert len(api.show(order["number"])["history"]) == 2


def test_an_order_that_is_not_there_does_not_move(api: Api) -> None:
    missing = {"number": "2026-0404", "version": 1}

    assert_problem(api.move(missing, "quoted"), 404, "not-found")
