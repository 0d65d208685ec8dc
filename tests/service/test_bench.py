"""The bench on the wire, on both databases: taps are kept once, and tell where the work stands."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import count
from random import Random

import pytest

from service.bench import desk
from service.bench.bodies import EventIn
from service.errands import Errands, Lane
from tests.service.api import SWATCH, Api, FixedClock, Json, assert_problem, at_once, order_body

BEGUN = datetime(2026, 3, 14, 9, 0, tzinfo=UTC)
_ids = count(1)


def making(api: Api, **changes: object) -> str:
    order = api.moved(api.taken(order_body(swatch=SWATCH, **changes)), "accepted", "making")
    number: str = order["number"]
    return number


def bench(api: Api, number: str) -> Json:
    answer = api.client.get(f"/api/v1/orders/{number}/bench")
    assert answer.status_code == 200, answer.text
    found: Json = answer.json()
    return found


def event(kind: str, seconds: float, **more: object) -> Json:
    at = (BEGUN + timedelta(seconds=seconds)).isoformat()
    return {"id": f"event-{next(_ids):06}", "kind": kind, "at": at, **more}


def sent(api: Api, number: str, *events: Json) -> Json:
    answer = api.post(f"/orders/{number}/bench/events", {"events": list(events)})
    assert answer.status_code == 200, answer.text
    found: Json = answer.json()
    return found


def rows_done(api: Api, number: str, upto: int, seconds: float = 60, start: float = 0) -> Json:
    """Tap the collar's chain and rows, and what is measured on the way."""
    steps = [step["key"] for step in bench(api, number)["steps"]]
    wanted = steps[: steps.index(f"p0c1r{upto}") + 1]
    events = [event("done", start + seconds * place, step=key) for place, key in enumerate(wanted)]
    return sent(api, number, *events)


def test_the_steps_are_the_kept_plan_row_by_row(api: Api) -> None:
    number = making(api)
    plan = api.show(number)["plan"]
    steps = bench(api, number)["steps"]

    rows = [row for part in plan["pattern"]["parts"] for row in part["rows"]]
    told = [step for step in steps if step["does"] == "row"]
    assert [step["row"] for step in told] == [row["row"] for row in rows]
    assert all(step["text"] in row["text"] for step, row in zip(told, rows, strict=True))
    checks = [step for step in steps if step["does"] == "check"]
    assert len(checks) == len(plan["checkpoints"])
    assert [step["part"] for step in steps][-1] == "Finishing"
    assert number in steps[-1]["text"]
    assert not any("goes with the hood" in step["text"] for step in steps)


def test_a_row_tapped_is_done_and_undone(api: Api) -> None:
    number = making(api)
    chain = event("done", 0, step="p0c1o")
    first = event("done", 40, step="p0c1r1")
    assert sent(api, number, chain, first)["state"]["at"] == "p0c1r1m1"

    after = sent(api, number, event("undo", 50, undoes=[first["id"]]))["state"]

    assert after["at"] == "p0c1r1"
    assert after["done"] == {"p0c1o": [chain["id"]]}


def test_an_event_sent_twice_is_one(api: Api) -> None:
    number = making(api)
    chain = event("done", 0, step="p0c1o")
    once = sent(api, number, chain)
    again = sent(api, number, chain, chain)

    assert again["kept"] == [chain["id"]]
    assert (again["state"]["events"], once["state"]["events"]) == (1, 1)
    assert again["state"] == once["state"]


@pytest.mark.parametrize("seed", range(4))
def test_batches_in_any_order_and_repeated_give_the_same_state(api: Api, seed: int) -> None:
    taps = [event("done", 60 * n, step=f"p0c1r{n}") for n in range(1, 9)]
    chain = event("done", 0, step="p0c1o")
    measured = event("measured", 65, step="p0c1r1m1", measured="7.7 cm")
    clock = [event("pause", 130), event("start", 135)]
    undo = event("undo", 500, undoes=[taps[-1]["id"], taps[2]["id"]])
    every = [chain, measured, *clock, *taps, undo]
    straight, mixed = making(api), making(api)
    expected = sent(api, straight, *every)["state"]
    drawn = Random(seed)  # noqa: S311 - a shuffle that can be had again

    shuffled = drawn.sample([*every, *drawn.choices(every, k=8)], len(every) + 8)
    while shuffled:
        batch, shuffled = shuffled[:3], shuffled[3:]
        sent(api, mixed, *batch)
    found = bench(api, mixed)["state"]

    assert expected["at"] == "p0c1r3"
    assert {**found, "number": ""} == {**expected, "number": ""}


def test_the_same_tap_from_many_at_once_is_kept_once(api: Api) -> None:
    number = making(api)
    chain = event("done", 0, step="p0c1o")
    path = f"/orders/{number}/bench/events"

    answers = at_once(8, lambda _: api.post(path, {"events": [chain]}))

    assert [answer.status_code for answer in answers] == [200] * 8
    assert bench(api, number)["state"]["events"] == 1


def test_two_phones_that_tap_the_same_row_make_one_row(api: Api) -> None:
    number = making(api)
    chain, one, other = (event("done", n, step=f"p0c1{key}") for n, key in
                         enumerate(("o", "r1", "r1")))  # fmt: skip
    sent(api, number, chain, one)
    both = sent(api, number, other)["state"]
    assert both["at"] == "p0c1r1m1"
    assert both["done"]["p0c1r1"] == sorted([one["id"], other["id"]])

    # What one takes back without knowing of the other's tap stays.
    assert sent(api, number, event("undo", 9, undoes=[one["id"]]))["state"]["at"] == "p0c1r1m1"
    assert sent(api, number, event("undo", 9, undoes=[other["id"]]))["state"]["at"] == "p0c1r1"


def test_a_measure_is_read_kept_and_held_to_its_tolerance(api: Api) -> None:
    number = making(api)
    rows_done(api, number, 1)
    due = next(s for s in api.show(number)["plan"]["checkpoints"] if s["row"] == 1)

    near = f"{due['mm'] / 10:.1f} cm"
    good = sent(api, number, event("measured", 90, step="p0c1r1m1", measured=near))["state"]
    assert (good["measured"][0]["near"], good["at"]) == (True, "p0c1r2")
    far = sent(api, number, event("measured", 95, step="p0c1r1m1", measured="3 in"))["state"]
    assert far["measured"][0]["mm"] == pytest.approx(76.2)
    far = sent(api, number, event("measured", 99, step="p0c1r1m1", measured="12 cm"))["state"]
    assert [(one["near"], one["shown"]) for one in far["measured"]] == [(False, "12.0 cm")]


def test_what_is_refused_is_named_and_stops_nothing_else(api: Api) -> None:
    number = making(api)
    plan = bench(api, number)["state"]["plan"]
    bad = event("measured", 5, step="p0c1r1m1", measured="a hand")
    lost = event("done", 6, step="p9c1r1", plan=plan)
    good = event("done", 7, step="p0c1o")

    answer = sent(api, number, bad, lost, good)

    assert answer["kept"] == [good["id"]]
    assert "a hand" in answer["refused"][bad["id"]]
    assert "no step p9c1r1" in answer["refused"][lost["id"]]


def test_the_work_can_stand_at_another_row_and_go_back(api: Api) -> None:
    number = making(api)
    place = {"id": "place-000001", "step": "p0c1r20"}
    on = api.post(f"/orders/{number}/bench/place", place).json()
    assert (on["at"], on["rows_untimed"]) == ("p0c1r20", 19)
    assert api.post(f"/orders/{number}/bench/place", place).json()["events"] == 1
    sent(api, number, *(event("done", n * 60, step=f"p0c1r{20 + n}") for n in range(5)))

    back = api.post(f"/orders/{number}/bench/place", {"id": "place-000002", "step": "p0c1r22"})

    assert back.json()["at"] == "p0c1r22"
    wrong = api.post(f"/orders/{number}/bench/place", {"id": "place-000003", "step": "p0c1r999"})
    assert "no such row" in assert_problem(wrong, 422, "unreadable")["fields"]["step"]


def test_the_clock_counts_from_the_first_tap_and_stops_when_nobody_taps(
    api: Api, clock: FixedClock
) -> None:
    number = making(api)
    clock.now = BEGUN + timedelta(minutes=12)
    state = rows_done(api, number, 10)["state"]  # the chain, ten rows, a measure: 11 minutes
    assert state["minutes_spent"] == pytest.approx(11)
    assert (state["running"], state["rows_untimed"]) == (True, 0)

    sent(api, number, event("pause", 690))
    late = sent(api, number, event("done", 7200, step="p0c1r11"))["state"]
    assert late["minutes_spent"] == pytest.approx(11.5)
    assert late["rows_untimed"] == 1
    clock.now = BEGUN + timedelta(hours=9)
    assert bench(api, number)["state"]["running"] is False


def test_a_slip_of_the_thumb_makes_no_short_row(sqlite_api: Api) -> None:
    number = making(sqlite_api)
    rows_done(sqlite_api, number, 4)
    slip = event("done", 310, step="p0c1r5")
    sent(sqlite_api, number, slip, event("undo", 312, undoes=[slip["id"]]))
    state = sent(sqlite_api, number, event("done", 360, step="p0c1r5"))["state"]
    assert state["minutes_spent"] == pytest.approx(6)
    assert state["rows_untimed"] == 0


@pytest.mark.parametrize("seconds", [20, 60])
def test_the_maker_s_own_pace_is_learned_and_reckons_the_rest(api: Api, seconds: float) -> None:
    number = making(api)
    stitches = bench(api, number)["steps"][1]["stitches"]
    state = rows_done(api, number, 40, seconds)["state"]
    left = [step for step in bench(api, number)["steps"] if step["key"] not in state["done"]]

    pace = state["paces"]["sc_blo"]
    # Beside the clock: so many stitches in so many seconds, the turn of three seconds apart.
    assert pace["pace"] == pytest.approx(stitches / (seconds / 60) * 1.09, rel=0.03)
    reckoned = sum(step["minutes"] for step in left)
    assert (state["minutes_left"] > reckoned) == (seconds == 60)
    shop = api.client.get("/api/v1/bench/paces").json()
    assert shop["sc_blo"]["minutes"] == pytest.approx(pace["minutes"])
    assert api.client.get("/api/v1/shop").json()["rates"]["pace"]["sc_blo"] is None


def test_rows_tapped_all_at_once_teach_no_pace(sqlite_api: Api) -> None:
    number = making(sqlite_api)
    assert rows_done(sqlite_api, number, 40, 0.5)["state"]["paces"] == {}


def piece(stitches: int, rows: int, width: float, length: float, part: str = "collar") -> Json:
    return {"part": part, "rows_made": rows, "stitches_now": stitches,
            "width": f"{width:.1f} cm", "length": f"{length:.1f} cm"}  # fmt: skip


def test_the_rest_planned_again_is_followed(api: Api) -> None:
    number = making(api)
    old = rows_done(api, number, 20)["state"]
    stitches = bench(api, number)["steps"][1]["stitches"]
    # Rows a tenth higher than planned: 7.33 mm instead of 6.67.
    asked = piece(stitches, 20, stitches / 1.3, 20 * 0.733)
    judged = api.post(f"/orders/{number}/in-hand", asked).json()
    assert (judged["verdict"], judged["changed"]) == ("carry on", True)

    body = {"id": "follow-00001", "plan": old["plan"], "piece": asked}
    answer = api.post(f"/orders/{number}/bench/follow", body)

    assert answer.status_code == 200, answer.text
    new = answer.json()
    assert (new["state"]["plan"], new["state"]["at"]) == ("follow-00001", "p0c1r21")
    worked = [s["row"] for s in new["steps"] if s["name"] == "collar" and s["row"] > 20]
    assert worked == [row["row"] for row in judged["rest"][0]["rows"]]
    hood = [s["stitches"] for s in new["steps"] if s["name"] == "hood" and s["row"]]
    assert hood == [row["stitches"] for row in judged["rest"][2]["rows"]]
    assert new["state"]["rows_untimed"] == 0  # the rows made before were timed
    assert api.post(f"/orders/{number}/bench/follow", body).json()["state"] == new["state"]
    stale = api.post(f"/orders/{number}/bench/follow", {**body, "id": "follow-00002"})
    assert_problem(stale, 412, "changed-meanwhile")
    kinds = [entry["kind"] for entry in api.show(number)["history"]]
    assert kinds.count("the rest planned again") == 1


def test_taps_by_the_plan_before_are_kept_and_told_but_count_no_more(api: Api) -> None:
    number = making(api)
    old = rows_done(api, number, 20)["state"]["plan"]
    stitches = bench(api, number)["steps"][1]["stitches"]
    asked = {"id": "follow-00001", "piece": piece(stitches, 20, stitches / 1.3, 20 * 0.733)}
    api.post(f"/orders/{number}/bench/follow", asked)

    late = sent(api, number, event("done", 40_000, step="p0c1r21", plan=old))["state"]

    assert late["at"] == "p0c1r21"
    assert late["events"] == 24
    assert late["notices"][0].startswith("1 tap was made by an earlier plan")


def test_a_hood_in_hand_after_a_collar_followed_goes_on_from_that_collar(api: Api) -> None:
    number = making(api)
    stitches = bench(api, number)["steps"][1]["stitches"]
    asked = piece(stitches, 20, stitches / 1.3, 20 * 0.733)
    first = api.post(f"/orders/{number}/bench/follow", {"id": "follow-00001", "piece": asked})
    hood = next(s for s in first.json()["steps"] if s["name"] == "hood" and s["row"] == 6)
    on = piece(hood["stitches"], 6, hood["stitches"] / 1.3, 6 * 0.69, "hood")

    second = api.post(f"/orders/{number}/bench/follow", {"id": "follow-00002", "piece": on})

    assert second.status_code == 200, second.text
    assert second.json()["state"]["at"] == "p2c1r7"
    collars = [[s["row"] for s in told.json()["steps"] if s["name"] == "collar"]
               for told in (first, second)]  # fmt: skip
    assert collars[0] == collars[1]


def test_a_piece_that_cannot_be_is_not_followed(sqlite_api: Api) -> None:
    number = making(sqlite_api)
    for asked in (piece(10, 20, 30, 13), piece(10, 20, 0, 13)):
        body = {"id": "follow-00009", "piece": asked}
        answer = sqlite_api.post(f"/orders/{number}/bench/follow", body)
        assert answer.status_code == 422, answer.text
        assert answer.json()["fields"]


def test_a_hood_that_is_not_begun_has_no_bench_and_a_finished_one_still_takes_late_taps(
    api: Api,
) -> None:
    order = api.taken(order_body(swatch=SWATCH))
    path = f"/orders/{order['number']}/bench"
    assert_problem(api.client.get(f"/api/v1{path}"), 409, "not-allowed-now")
    refused = api.post(f"{path}/events", {"events": [event("done", 0, step="p0c1o")]})
    assert_problem(refused, 409, "not-allowed-now")

    order = api.moved(order, "accepted", "making", "finished")
    assert sent(api, order["number"], event("done", 0, step="p0c1o"))["state"]["events"] == 1
    assert api.show(order["number"])["version"] == order["version"]


def test_another_pattern_begins_anew_and_the_same_one_goes_on(api: Api) -> None:
    number = making(api)
    rows_done(api, number, 5)
    order = api.moved(api.show(number), "accepted")
    same = api.moved(order, "making")
    assert bench(api, number)["state"]["at"] == "p0c1r6"

    order = api.moved(same, "accepted")
    changed = api.change(order, {"measurements": {"neck_girth": "38 cm"}}).json()
    api.moved(changed, "making")

    state = bench(api, number)["state"]
    assert (state["at"], state["events"]) == ("p0c1o", 7)
    assert "earlier plan" in state["notices"][0]


@pytest.mark.parametrize(
    "spoilt",
    [
        {"id": "short"},
        {"at": "2026-03-14T09:00:00"},
        {"at": "0001-01-01T00:00:00+14:00"},
        {"kind": "follow"},
        {"step": "../x"},
        {"undoes": ["x" * 9] * 101},
        {"more": 1},
    ],
)
def test_an_event_of_the_wrong_shape_is_told(sqlite_api: Api, spoilt: Json) -> None:
    number = making(sqlite_api)
    body = {"events": [{**event("done", 0, step="p0c1o"), **spoilt}]}
    answer = sqlite_api.post(f"/orders/{number}/bench/events", body)
    assert_problem(answer, 422, "wrong-shape")


def test_moments_are_kept_in_our_time() -> None:
    told = event("done", 0, step="p0c1o") | {"at": "2026-03-14T10:00:00+01:00"}
    assert EventIn.model_validate(told).at == BEGUN


@pytest.mark.parametrize("wishes", [
    {"collar": "buttoned", "button": "22 mm"},
    {"ears": {"base": "4 cm", "from_centre": "6 cm"}, "edging": "sl_st"},
    {"add_ons": [{"shape": "cone", "across": "6 cm", "long": "12 cm", "copies": 2}]},
    {"stripes": {"collar": [{"colour": "rust", "rows": 2}, {"colour": "cream", "rows": 2}],
                 "hood": [{"colour": "rust", "rows": 2}]}},
])  # fmt: skip
def test_every_variant_can_be_worked_to_the_end(sqlite_api: Api, wishes: Json) -> None:
    number = making(sqlite_api, wishes=wishes)
    steps = bench(sqlite_api, number)["steps"]
    keys = [step["key"] for step in steps]
    assert len(set(keys)) == len(keys)
    taps = [event("done", n * 30, step=key) for n, key in enumerate(keys)]
    state = sent(sqlite_api, number, *taps)["state"]
    assert (state["at"], state["minutes_left"]) == (None, 0)
    if "stripes" in wishes:
        notes = {step["row"]: step["note"] for step in steps if step["name"] == "collar"}
        change = "with the last yarn over."
        # A colour begins with the last yarn over of the row before: rust 1, 2, cream 3, 4, rust 5.
        told = ["", f"Change to cream {change}", "", f"Change to rust {change}"]
        assert [notes[row] for row in range(1, 5)] == told
        last = max(notes)
        assert notes[last] == ""
        assert {step["colour"] for step in steps if step["name"] == "collar" and step["row"]} == {
            "rust", "cream"}  # fmt: skip
    if "add_ons" in wishes:
        named = {step["key"][:4]: step["part"] for step in steps if step["name"] == "cone"}
        # Every step says which copy it is of, and none says to make two of them.
        assert named == {"p4c1": "Horn to sew on, 1 of 2", "p4c2": "Horn to sew on, 2 of 2"}
        assert not [step for step in steps if "Make 2" in step["text"]]
        one, two = (
            [(s["key"][4:], s["text"], s["stitches"]) for s in steps if s["key"].startswith(copy)]
            for copy in ("p4c1", "p4c2")
        )
        assert one == two != []
        sizes = [step for step in steps if step["text"] in {"Across the base", "From base to tip"}]
        assert len(sizes) == 4
        assert {step["does"] for step in sizes} == {"todo"}


def test_a_seam_is_told_before_its_stitches_and_after_them(sqlite_api: Api) -> None:
    steps = {step["key"]: step for step in bench(sqlite_api, making(sqlite_api))["steps"]}
    for part, after in (("p1", "turn the tube right side out"), ("p3", "turn right side out")):
        assert "right side out" not in steps[f"{part}c1o"]["text"]
        assert after in steps[f"{part}c1r1"]["note"]


def test_the_first_step_says_hook_and_yarn_and_whether_a_swatch_comes_first(
    sqlite_api: Api,
) -> None:
    guessed = sqlite_api.moved(sqlite_api.taken(order_body()), "accepted", "making")["number"]
    first = bench(sqlite_api, guessed)["steps"][0]["note"]
    assert first == (
        "Hook 5.0 mm (US H-8). Hemlock Aran, lot K 214. Make the swatch of the ticket first."
    )
    tested = bench(sqlite_api, making(sqlite_api))["steps"]
    assert tested[0]["note"] == "Hook 5.0 mm (US H-8). Hemlock Aran, lot K 214."
    assert not [step for step in tested[1:] if "Hook" in step["note"]]


def test_the_bench_of_a_long_hood_is_told_in_its_turn_and_is_the_same(
    sqlite_api: Api, monkeypatch: pytest.MonkeyPatch
) -> None:
    number = making(sqlite_api)
    at_once = bench(sqlite_api, number)
    asked: list[Lane] = []
    alone = Errands.alone

    def counted(self: Errands, lane: Lane, work: Callable[[], object]) -> object:
        asked.append(lane)
        return alone(self, lane, work)

    monkeypatch.setattr(desk, "LONG", 10)
    monkeypatch.setattr(Errands, "alone", counted)
    assert bench(sqlite_api, number) == at_once
    assert asked == [Lane.PAPERS]
