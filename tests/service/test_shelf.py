"""The shelf: yarns with lots and swatches, what orders reserve of them, and what hoods took."""

import pytest

from tests.service.api import SWATCH, YARN, Api, Json, assert_problem, order_body

LOTS = [{"colour": "", "lot": "K 214", "balls": 3.0}, {"colour": "rust", "lot": "R 7", "balls": 1}]


def put(api: Api, **changes: object) -> Json:
    answer = api.post("/yarns", {**YARN, "lots": LOTS, **changes})
    assert answer.status_code == 201, answer.text
    assert answer.headers["Location"] == f"/api/v1/yarns/{answer.json()['id']}"
    assert answer.headers["ETag"] == '"1"'
    found: Json = answer.json()
    return found


def shown(api: Api, yarn: Json) -> Json:
    answer = api.client.get(f"/api/v1/yarns/{yarn['id']}")
    assert answer.status_code == 200, answer.text
    assert answer.headers["ETag"] == f'"{answer.json()["version"]}"'
    found: Json = answer.json()
    return found


def change(api: Api, yarn: Json, body: object, version: int | None = None) -> Json:
    headers = {"If-Match": f'"{version or yarn["version"]}"'}
    answer = api.client.put(f"/api/v1/yarns/{yarn['id']}", json=body, headers=headers)
    found: Json = answer.json() | {"status": answer.status_code}
    return found


def left(api: Api, yarn: Json) -> dict[str, float]:
    return {lot["lot"]: lot["balls"] for lot in shown(api, yarn)["lots"]}


def stand(api: Api, lot: str, **query: bool) -> Json:
    answer = api.client.get("/api/v1/shopping-list", params=query)
    assert answer.status_code == 200, answer.text
    (found,) = [one for one in answer.json()["lots"] if one["lot"] == lot]
    one: Json = found
    return one


def test_a_yarn_is_kept_with_its_lots_in_their_order(api: Api) -> None:
    yarn = put(api)

    assert [(lot["lot"], lot["balls"]) for lot in yarn["lots"]] == [("K 214", 3), ("R 7", 1)]
    assert yarn["yarn"]["lot"] == "K 214"
    assert shown(api, yarn) == yarn


def test_a_lot_told_alone_is_one_that_nobody_has_counted(api: Api) -> None:
    yarn = put(api, lots=[])

    assert [(lot["lot"], lot["balls"]) for lot in yarn["lots"]] == [("K 214", 0)]


def test_a_change_keeps_the_rows_of_lots_that_stay(api: Api) -> None:
    yarn = put(api)
    lots = [{"lot": "K 214", "balls": 7.5}, {"lot": "K 300", "balls": 2}]

    after = change(api, yarn, {**YARN, "ball_price": "5.10", "lots": lots})

    assert (after["status"], after["version"]) == (200, 2)
    assert after["yarn"]["ball_price"] == "5.10"
    assert left(api, yarn) == {"K 214": 7.5, "K 300": 2}
    ids = {lot["lot"]: lot["id"] for lot in yarn["lots"]}
    assert after["lots"][0]["id"] == ids["K 214"]


def test_a_change_on_an_old_version_is_refused_and_changes_nothing(api: Api) -> None:
    yarn = put(api)
    assert change(api, yarn, {**YARN, "lots": LOTS, "name": "First"})["status"] == 200

    assert change(api, yarn, {**YARN, "name": "Second"})["code"] == "changed-meanwhile"

    kept = shown(api, yarn)
    assert (kept["yarn"]["name"], len(kept["lots"])) == ("First", 2)
    path = f"/api/v1/yarns/{yarn['id']}"
    assert_problem(api.client.put(path, json=YARN), 428, "version-missing")
    assert_problem(api.client.delete(path), 428, "version-missing")
    assert_problem(api.client.delete(path, headers={"If-Match": '"1"'}), 412, "changed-meanwhile")
    assert_problem(api.client.get("/api/v1/yarns/4711"), 404, "not-found")
    assert_problem(api.client.get("/api/v1/yarns/99999999999"), 422, "wrong-shape")


def test_a_lot_that_stands_there_twice_is_refused(api: Api) -> None:
    twice = [{"lot": "K 1", "balls": 1}, {"lot": "K 1", "balls": 2}]

    problem = assert_problem(api.post("/yarns", {**YARN, "lots": twice}), 422, "unreadable")

    assert "lots.1.lot" in problem["fields"]
    assert api.client.get("/api/v1/yarns").json() == []


@pytest.mark.parametrize("balls", [-1, "many", 1e9])
def test_balls_that_cannot_be_are_refused(api: Api, balls: object) -> None:
    body = {**YARN, "lots": [{"lot": "K", "balls": balls}]}
    assert_problem(api.post("/yarns", body), 422, "wrong-shape")


def test_a_removed_yarn_takes_its_lots_and_swatches_along_and_leaves_orders_alone(
    api: Api,
) -> None:
    yarn, order = put(api), api.taken()
    keep(api, yarn)
    version = shown(api, yarn)["version"]

    path, tag = f"/api/v1/yarns/{yarn['id']}", {"If-Match": f'"{version}"'}
    assert api.client.delete(path, headers=tag).status_code == 204

    assert_problem(api.client.get(path), 404, "not-found")
    assert api.show(order["number"])["asked"]["yarn"]["name"] == YARN["name"]
    assert api.client.get("/api/v1/yarns").json() == []


def keep(api: Api, yarn: Json, status: int = 201, **changes: object) -> Json:
    tag = {"If-Match": f'"{shown(api, yarn)["version"]}"'}
    path = f"/api/v1/yarns/{yarn['id']}/swatches"
    answer = api.client.post(path, json={**SWATCH, **changes}, headers=tag)
    assert answer.status_code == status, answer.text
    found: Json = answer.json()
    return found


def test_swatches_are_kept_with_their_yarn_and_thrown_away(api: Api) -> None:
    yarn = put(api)
    keep(api, yarn, name="washed")
    after = keep(api, yarn)

    assert [one["name"] for one in after["swatches"]] == ["5 mm", "washed"]
    assert after["swatches"][0]["swatch"]["rib_stitches"] == SWATCH["rib_stitches"]
    path = f"/api/v1/yarns/{yarn['id']}/swatches/{after['swatches'][0]['id']}"
    tag = {"If-Match": f'"{after["version"]}"'}
    gone = api.client.delete(path, headers=tag).json()
    assert [one["name"] for one in gone["swatches"]] == ["washed"]
    again = {"If-Match": f'"{gone["version"]}"'}
    assert_problem(api.client.delete(path, headers=again), 404, "not-found")
    other = put(api, name="Another")
    path = f"/api/v1/yarns/{other['id']}/swatches/{gone['swatches'][0]['id']}"
    assert_problem(api.client.delete(path, headers={"If-Match": '"1"'}), 404, "not-found")


def test_a_swatch_that_cannot_be_is_refused(api: Api) -> None:
    yarn = put(api)
    keep(api, yarn, 422, rib_stitches=900)
    assert shown(api, yarn)["swatches"] == []


def test_accepted_orders_reserve_their_lot_and_asked_ones_only_if_wished(api: Api) -> None:
    put(api)
    accepted = api.moved(api.taken(), "accepted")
    asked = api.taken()

    one = stand(api, "K 214")

    assert [need["number"] for need in one["orders"]] == [accepted["number"]]
    likely = accepted["plan"]["yarn"]["metres"]["likely"] / YARN["ball_metres"]
    assert one["needed"] == pytest.approx(likely)
    numbers = [need["number"] for need in stand(api, "K 214", asked=True)["orders"]]
    assert numbers == [accepted["number"], asked["number"]]


def test_what_runs_short_is_bought_in_its_lot(api: Api) -> None:
    yarn = put(api)
    for _ in range(4):
        api.moved(api.taken(), "accepted")

    one = stand(api, "K 214")

    assert one["suffices"] < 0.95 <= one["then"]
    assert one["buy"] >= 1
    assert "of lot K 214, the one you have" in one["advice"]
    assert one["cost"] == str(one["buy"] * 480 / 100) + "0"
    more = [{"lot": "K 214", "balls": 3 + one["buy"]}]
    change(api, yarn, {**YARN, "lots": more})
    assert stand(api, "K 214")["buy"] == 0


def test_a_yarn_that_is_not_on_the_shelf_is_bought_whole(api: Api) -> None:
    order = api.moved(api.taken(), "accepted")

    one = stand(api, "K 214")

    assert (one["on_shelf"], one["balls"]) == (False, 0)
    assert one["buy"] == order["plan"]["yarn"]["balls"]["buy"]
    assert one["then"] == pytest.approx(order["plan"]["yarn"]["suffices"])


def test_stripes_come_from_the_lot_of_their_colour(api: Api) -> None:
    put(api, lots=[{"colour": "Cream", "lot": "K 214", "balls": 3}, *LOTS[1:]])
    rust, cream = {"colour": "rust", "rows": 2}, {"colour": "cream", "rows": 4}
    wishes = {"stripes": {"collar": [rust], "hood": [cream, rust]}}
    order = api.moved(api.taken(order_body(wishes=wishes)), "accepted")

    found = {one["colour"]: one["metres"]["likely"] for one in order["plan"]["yarn"]["colours"]}

    assert stand(api, "R 7")["needed"] == pytest.approx(found.pop("rust") / YARN["ball_metres"])
    assert {"cream"} <= set(found) <= {"cream", ""}
    rest = sum(found.values()) / YARN["ball_metres"]
    assert stand(api, "K 214")["needed"] == pytest.approx(rest)


def test_a_finished_hood_takes_its_yarn_and_an_unfinished_one_gives_it_back(api: Api) -> None:
    yarn = put(api)
    order = api.moved(api.taken(), "accepted", "making")
    likely = order["plan"]["yarn"]["metres"]["likely"] / YARN["ball_metres"]

    order = api.moved(order, "finished")
    assert left(api, yarn)["K 214"] == pytest.approx(3 - likely, abs=0.002)
    assert shown(api, yarn)["version"] > yarn["version"]

    order = api.moved(order, "making")
    assert left(api, yarn)["K 214"] == pytest.approx(3, abs=0.002)
    api.moved(order, "finished", "handed over")
    assert left(api, yarn)["K 214"] == pytest.approx(3 - likely, abs=0.002)
    assert api.client.get("/api/v1/shopping-list").json()["lots"] == []


def test_the_scale_puts_right_what_a_hood_took(api: Api) -> None:
    yarn = put(api)
    order = api.moved(api.taken(), "accepted", "making", "finished")
    path, tag = f"/api/v1/orders/{order['number']}/outcome", {"If-Match": f'"{order["version"]}"'}

    answer = api.client.put(path, json={"grams": 120}, headers=tag)

    assert answer.status_code == 200, answer.text
    assert left(api, yarn)["K 214"] == pytest.approx(3 - 1.2, abs=0.002)


def test_no_lot_holds_less_than_nothing_and_only_what_was_taken_comes_back(api: Api) -> None:
    yarn = put(api, lots=[{"lot": "K 214", "balls": 0.2}])
    order = api.moved(api.taken(), "accepted", "making", "finished")
    assert left(api, yarn) == {"K 214": 0}

    api.moved(order, "making")
    assert left(api, yarn) == {"K 214": pytest.approx(0.2)}
