"""An order is changed: on the version that was seen, and planned anew."""

from typing import Any

import pytest
from sqlmodel import select

from service.bodies import OrderIn
from service.db import Database
from service.errors import StaleError
from service.models import Dog
from service.orders import change_order, order_by_number, take_order
from tests.service.api import (
    DOG,
    LENGTHS,
    YARN,
    Api,
    FixedClock,
    assert_problem,
    at_once,
    lengths_given,
    order_body,
    stopped_body,
)


def test_a_change_is_planned_anew_and_told_in_the_history(api: Api, clock: FixedClock) -> None:
    order = api.taken()
    clock.now = clock.now.replace(day=15)
    response = api.change(order, {"measurements": {"neck_girth": "37 cm"}})
    changed = response.json()

    assert response.status_code == 200
    assert response.headers["ETag"] == '"2"'
    assert lengths_given(changed) == {**LENGTHS, "neck_girth": "37 cm"}
    assert changed["plan"]["target"]["collar_girth"] > order["plan"]["target"]["collar_girth"]
    assert changed["changed_at"] > changed["created_at"] == order["created_at"]
    taken, change = changed["history"]
    assert (taken["kind"], change["kind"]) == ("taken", "changed")
    old, new = change["change"]["measurements"]
    assert (old["neck_girth"], new["neck_girth"]) == ("35,5 cm", "37 cm")
    assert api.show(order["number"]) == changed


def test_the_media_type_of_merge_patch_is_taken_too(api: Api) -> None:
    order = api.taken()
    response = api.client.patch(
        f"/api/v1/orders/{order['number']}",
        content='{"notes": "red"}',
        headers={"If-Match": '"1"', "Content-Type": "application/merge-patch+json"},
    )

    assert response.json()["asked"]["notes"] == "red"


def test_a_change_without_a_version_is_asked_for_one(api: Api) -> None:
    order = api.taken()
    response = api.client.patch(f"/api/v1/orders/{order['number']}", json={"notes": "red"})

    problem = assert_problem(response, 428, "version-missing")
    assert "If-Match" in problem["detail"]
    assert api.show(order["number"]) == order


@pytest.mark.parametrize("tag", ['"7"', "1", 'W/"1"', '"one"', '"99999999999999999999"'])
def test_a_change_of_another_version_is_refused(api: Api, tag: str) -> None:
    order = api.taken()
    response = api.client.patch(
        f"/api/v1/orders/{order['number']}", json={"notes": "red"}, headers={"If-Match": tag}
    )

    assert_problem(response, 412, "changed-meanwhile")
    assert api.show(order["number"]) == order


def test_of_two_who_saw_the_same_version_the_second_is_told(api: Api) -> None:
    order = api.taken()
    first = api.change(order, {"notes": "first"})
    second = api.change(order, {"notes": "second"})

    assert first.status_code == 200
    assert_problem(second, 412, "changed-meanwhile")
    assert api.show(order["number"])["asked"]["notes"] == "first"


def test_of_many_changes_at_once_exactly_one_is_made(api: Api) -> None:
    order = api.taken()
    answers = at_once(8, lambda index: api.change(order, {"notes": f"number {index}"}))

    assert sorted(answer.status_code for answer in answers) == [200] + [412] * 7
    kept = api.show(order["number"])
    assert kept["version"] == 2
    assert [event["kind"] for event in kept["history"]] == ["taken", "changed"]


def test_an_order_read_before_it_was_locked_is_read_again(
    postgresql_database: Database, clock: FixedClock
) -> None:
    asked = OrderIn.model_validate(order_body())
    with postgresql_database.writing() as session:
        number = take_order(session, asked, clock()).number
    with postgresql_database.reading() as slow:
        seen = order_by_number(slow, number)
        with postgresql_database.writing() as quick:
            change_order(quick, number, {"notes": "quick"}, 1, clock())
        with pytest.raises(StaleError):
            change_order(slow, number, {"notes": "slow"}, 1, clock())
        assert seen.asked["notes"] == "quick"


@pytest.mark.parametrize(
    ("patch", "field"),
    [
        ({"measurements": {"neck_girth": 5}}, "measurements.neck_girth"),
        ({"measurements": {"neck_girth": None}}, "measurements.neck_girth"),
        ({"measurements": {"tail": "5 cm"}}, "measurements.tail"),
        ({"dog": "Bramble"}, "dog"),
        ({"buyer": None}, "buyer"),
        ({"yarn": {"fibres": []}}, "yarn.fibres"),
        ({"due": "soon"}, "due"),
        ({"number": "2026-0009"}, "number"),
        ({"state": "finished"}, "state"),
    ],
)
def test_a_change_of_the_wrong_shape_names_its_field(
    api: Api, patch: dict[str, Any], field: str
) -> None:
    order = api.taken()

    problem = assert_problem(api.change(order, patch), 422, "wrong-shape")
    assert set(problem["fields"]) == {field}
    assert api.show(order["number"]) == order


@pytest.mark.parametrize("patch", [[], "notes", 5, None])
def test_a_change_that_is_no_object_is_refused(api: Api, patch: object) -> None:
    order = api.taken()

    assert_problem(api.change(order, patch), 422, "wrong-shape")


def test_a_change_that_cannot_be_read_names_its_field(api: Api) -> None:
    order = api.taken()
    response = api.change(order, {"measurements": {"neck_girth": "wide"}})

    problem = assert_problem(response, 422, "unreadable")
    assert set(problem["fields"]) == {"neck_girth"}


def test_null_takes_a_member_away(api: Api) -> None:
    order = api.taken(order_body(due="2026-05-01", notes="blue", dog={**DOG, "coat": "thick"}))
    changed = api.change(order, {"due": None, "notes": None, "dog": {"coat": None}}).json()

    asked = changed["asked"]
    assert (asked["due"], asked["notes"], asked["dog"]["coat"]) == (None, "", None)
    assert asked["dog"]["name"] == "Bramble"


def test_a_list_is_replaced_whole(api: Api) -> None:
    order = api.taken()
    fibres = [{"fibre": "wool", "percent": 60}, {"fibre": "acrylic", "percent": 40}]
    changed = api.change(order, {"yarn": {"fibres": fibres}}).json()

    assert changed["asked"]["yarn"] == {**YARN, "fibres": fibres}


def test_a_corrected_number_ends_the_stop(api: Api) -> None:
    order = api.taken(stopped_body())
    changed = api.change(order, {"measurements": {"neck_girth": "14.5 in"}}).json()

    assert changed["plan"] is not None
    assert changed["findings"] == []


def test_a_stop_accepted_later_ends_it_and_its_reason_is_in_the_history(api: Api) -> None:
    order = api.taken(stopped_body())
    accepted = [{"field": "neck_girth", "reason": "Measured twice."}]
    changed = api.change(order, {"accepted": accepted}).json()

    assert changed["plan"] is not None
    assert changed["history"][-1]["change"]["accepted"] == [[], accepted]


@pytest.mark.parametrize("patch", [{"measurements": {"neck_girth": "13.5"}}, {"unit": "in"}])
def test_a_stop_accepted_for_one_number_is_not_accepted_for_another(
    api: Api, patch: dict[str, Any]
) -> None:
    accepted = [{"field": "neck_girth", "reason": "Measured twice."}]
    order = api.taken(stopped_body(accepted=accepted))

    assert api.change(order, {"notes": "blue"}).json()["asked"]["accepted"] == accepted
    changed = api.change(order, patch, version=2).json()
    assert changed["asked"]["accepted"] == []


def test_a_change_that_accepts_the_new_number_is_taken_at_its_word(api: Api) -> None:
    accepted = [{"field": "neck_girth", "reason": "Measured twice."}]
    order = api.taken(stopped_body())
    patch = {"measurements": {"neck_girth": "13.5"}, "accepted": accepted}

    assert api.change(order, patch).json()["plan"] is not None


def test_a_hood_on_the_hook_is_not_changed(api: Api) -> None:
    order = api.moved(api.taken(), "accepted", "making")
    problem = assert_problem(api.change(order, {"notes": "red"}), 409, "not-allowed-now")
    assert "move it back to “accepted”" in problem["detail"]

    back = api.moved(order, "accepted")
    assert api.change(back, {"notes": "red"}).status_code == 200


def test_an_order_that_is_not_there_is_not_changed(api: Api) -> None:
    missing = {"number": "2026-0404", "version": 1}

    assert_problem(api.change(missing, {"notes": "red"}), 404, "not-found")


def test_a_changed_name_is_found_and_the_old_one_no_more(api: Api) -> None:
    order = api.taken()
    changed = api.change(order, {"dog": {"name": "Thistle"}}).json()

    assert api.numbers(q="thistle") == [changed["number"]]
    assert api.numbers(q="bramble") == []


def test_a_change_remembers_the_new_numbers_for_the_same_dog(api: Api, database: Database) -> None:
    order = api.taken()
    api.change(order, {"measurements": {"neck_girth": "37 cm"}, "dog": {"weight": "12 kg"}})
    with database.reading() as session:
        dogs = session.exec(select(Dog)).all()

    assert [(d.details["weight"], d.measurements["neck_girth"]) for d in dogs] == [
        ("12 kg", "37 cm")
    ]
