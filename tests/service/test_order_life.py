"""An order's whole life in any sequence: what the API says is what a plain model beside it says.

`HOODWRIGHT_LONG=1` tries fifty times as many lives.
"""

import os
from contextlib import ExitStack
from dataclasses import dataclass, field
from datetime import timedelta
from decimal import Decimal
from typing import ClassVar, Final

import pytest
from httpx2 import Response
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    MultipleResults,
    RuleBasedStateMachine,
    consumes,
    initialize,
    invariant,
    multiple,
    rule,
    run_state_machine_as_test,
)
from starlette.testclient import TestClient

from service.db import Database, open_database
from service.web.application import create_app
from tests.entering import cheap, let_in, with_key
from tests.service.api import Api, FixedClock, Json, assert_problem, order_body
from tests.service.conftest import empty

TIMES: Final = 50 if os.environ.get("HOODWRIGHT_LONG") == "1" else 1
LIVES: Final = {"sqlite": 6, "postgresql": 3}
STEPS: Final = 15

# Written by hand, apart from the program's own table.
WAYS: Final = {
    "enquiry": {"quoted", "accepted", "cancelled"},
    "quoted": {"accepted", "enquiry", "cancelled"},
    "accepted": {"making", "quoted", "cancelled"},
    "making": {"finished", "accepted", "cancelled"},
    "finished": {"handed over", "making"},
    "handed over": {"finished"},
    "cancelled": {"enquiry"},
}
PROMISING: Final = {"quoted", "accepted", "making"}
STILL_CHANGED: Final = {"enquiry", "quoted", "accepted"}
DONE: Final = {"finished", "handed over"}
NECKS: Final = {"35,5 cm": True, "36 cm": True, "14.2 in": True, "14.5": False}
"""Girths of a neck, and whether each lets the hood be planned."""
EMPTY_HANDED: Final = "the sheet lies in the parcel"
SEEN: Final = st.sampled_from(["as it is", "as it is", "as it is", "older", "newer", "not at all"])
WORDS: Final = st.sampled_from(["blue", "red, for 2 May", "Ärmel, 100 %", ""])
KEYS: Final = st.sampled_from(["key one", "key two", "key three"])


@dataclass
class Life:
    """What an order must be by now."""

    number: str
    notes: str
    neck: str
    state: str = "enquiry"
    version: int = 1
    kinds: list[str] = field(default_factory=lambda: ["taken"])
    paid: list[str] = field(default_factory=list)
    grams: float | None = None
    written: list[Json] = field(default_factory=list)

    @property
    def planned(self) -> bool:
        return NECKS[self.neck]

    def went_on(self, kind: str) -> None:
        """Take down a change that was acknowledged."""
        self.version += 1
        self.kinds.append(kind)


def body(notes: str, neck: str) -> Json:
    told = order_body(notes=notes)
    return {**told, "measurements": {**told["measurements"], "neck_girth": neck}}


class OrderLives(RuleBasedStateMachine):
    """A shop from its first order on."""

    orders: Bundle[str] = Bundle("orders")

    database: ClassVar[Database]

    def __init__(self) -> None:
        super().__init__()
        self.clock = FixedClock()
        self.lives: dict[str, Life] = {}
        self.keys: dict[str, tuple[str, str, str]] = {}
        self.running = ExitStack()
        self.latest = ""
        self.steps = 0

    @initialize()
    def begin(self) -> None:
        empty(self.database)
        let_in(self.database, self.clock.now)
        self.start()

    def start(self) -> None:
        """Open the database by its address, as a new process does, and serve it."""
        url = self.database.engine.url.render_as_string(hide_password=False)
        opened = open_database(url)
        self.running.callback(opened.close)
        app = create_app(opened, self.clock, entrance=cheap())
        client = TestClient(app, raise_server_exceptions=False)
        self.api = Api(with_key(self.running.enter_context(client)))

    def teardown(self) -> None:
        self.running.close()

    @rule()
    def start_again(self) -> None:
        self.running.close()
        self.running = ExitStack()
        self.start()

    def sent(
        self, method: str, life: Life, below: str, told: Json, seen: str
    ) -> tuple[Response, bool]:
        """Send a change; return the answer, and whether its version is the one that stands.

        A change of a version that does not stand must be refused.
        """
        self.clock.now += timedelta(minutes=1)
        self.latest = life.number
        versions = {"as it is": life.version, "older": life.version - 1, "newer": life.version + 1}
        headers = {"If-Match": f'"{versions[seen]}"'} if seen in versions else {}
        path = f"/api/v1/orders/{life.number}{below}"
        answer = self.api.client.request(method, path, json=told, headers=headers)
        if seen == "not at all":
            assert_problem(answer, 428, "version-missing")
        elif seen != "as it is":
            assert_problem(answer, 412, "changed-meanwhile")
        return answer, seen == "as it is"

    @rule(target=orders, notes=WORDS, neck=st.sampled_from(list(NECKS)))
    def take(self, notes: str, neck: str) -> str:
        order = self.api.taken(body(notes, neck))
        return self.was_taken(order, notes, neck)

    def was_taken(self, order: Json, notes: str, neck: str) -> str:
        number: str = order["number"]
        assert number not in self.lives
        self.lives[number] = Life(number, notes, neck)
        self.latest = number
        return number

    @rule(target=orders, key=KEYS, notes=WORDS, neck=st.sampled_from(["35,5 cm", "14.5"]))
    def take_with_a_key(self, key: str, notes: str, neck: str) -> str | MultipleResults[str]:
        answer = self.api.take(body(notes, neck), key)
        if key not in self.keys:
            assert answer.status_code == 201, answer.text
            number = self.was_taken(answer.json(), notes, neck)
            self.keys[key] = (notes, neck, number)
            return number
        if self.keys[key][:2] != (notes, neck):
            assert_problem(answer, 422, "key-reused")
        else:
            assert answer.status_code == 201, answer.text
            assert answer.json()["number"] == self.keys[key][2]
        return multiple()

    @rule(key=KEYS)
    def take_again_with_its_key(self, key: str) -> None:
        if key in self.keys:
            notes, neck, number = self.keys[key]
            answer = self.api.take(body(notes, neck), key)
            assert (answer.status_code, answer.json()["number"]) == (201, number)
            assert answer.json()["version"] == self.lives[number].version

    @rule(number=orders, notes=WORDS, seen=SEEN)
    def change_the_notes(self, number: str, notes: str, seen: str) -> None:
        if self.changed(self.lives[number], {"notes": notes}, seen):
            self.lives[number].notes = notes

    @rule(number=orders, neck=st.sampled_from(list(NECKS)), seen=SEEN)
    def change_the_neck(self, number: str, neck: str, seen: str) -> None:
        if self.changed(self.lives[number], {"measurements": {"neck_girth": neck}}, seen):
            self.lives[number].neck = neck

    def changed(self, life: Life, patch: Json, seen: str) -> bool:
        """Send a merge patch; return whether it must have been, and was, acknowledged."""
        answer, stands = self.sent("PATCH", life, "", patch, seen)
        if not stands:
            return False
        if life.state not in STILL_CHANGED:
            assert_problem(answer, 409, "not-allowed-now")
            return False
        assert answer.status_code == 200, answer.text
        life.went_on("changed")
        return True

    @rule(number=orders, to=st.sampled_from(sorted(WAYS)), why=st.booleans(), seen=SEEN)
    def move(self, number: str, to: str, seen: str, *, why: bool) -> None:
        self.moved(self.lives[number], to, seen, EMPTY_HANDED if why else "")

    @rule(number=orders, data=st.data())
    def move_along_the_table(self, number: str, data: st.DataObject) -> None:
        life = self.lives[number]
        to = data.draw(st.sampled_from(sorted(WAYS[life.state])))
        self.moved(life, to, "as it is", EMPTY_HANDED)

    @rule(number=orders)
    def make_it(self, number: str) -> None:
        # Few random walks come so far; refused in any state but one on the way.
        for to in ("accepted", "making", "finished"):
            self.moved(self.lives[number], to, "as it is", "")

    def moved(self, life: Life, to: str, seen: str, note: str) -> None:
        answer, stands = self.sent("POST", life, "/state", {"to": to, "note": note}, seen)
        if not stands:
            return
        allowed = to in WAYS[life.state] and (life.planned or to not in PROMISING)
        if not allowed or (to == "handed over" and not note):
            assert_problem(answer, 409, "not-allowed-now")
            return
        assert answer.status_code == 200, answer.text
        life.state = to
        life.went_on("moved")

    @rule(number=orders, amount=st.sampled_from(["20.00", "-5.50", "0.0001"]))
    def pay(self, number: str, amount: str) -> None:
        answer = self.api.post(f"/orders/{number}/payments", {"amount": amount})
        assert answer.status_code == 201, answer.text
        # Money is apart from the order: it is in the history, but makes no new version.
        self.latest = number
        self.lives[number].kinds.append("paid")
        self.lives[number].paid.append(amount)

    @rule(number=orders, grams=st.sampled_from([80.0, 112.5]), seen=SEEN)
    def tell_the_outcome(self, number: str, grams: float, seen: str) -> None:
        life = self.lives[number]
        answer, stands = self.sent("PUT", life, "/outcome", {"grams": grams, "sure": True}, seen)
        if not stands:
            return
        if life.state not in DONE:
            assert_problem(answer, 409, "not-allowed-now")
            return
        assert answer.status_code == 200, answer.text
        life.grams = grams
        life.went_on("outcome")

    @rule(number=consumes(orders))
    def leave_it_alone_from_now_on(self, number: str) -> None:
        assert number in self.lives  # and is compared as all the others

    @invariant()
    def every_order_is_listed_once_as_it_is(self) -> None:
        if not hasattr(self, "api"):
            return
        answer = self.api.listed(limit=200)
        assert answer.status_code == 200, answer.text
        shown = [
            (line["number"], line["state"], line["version"], line["stopped"])
            for line in answer.json()["orders"]
        ]
        assert shown == [
            (life.number, life.state, life.version, not life.planned)
            for life in reversed(self.lives.values())
        ]

    @invariant()
    def every_order_is_as_in_the_model_and_its_history_only_grew(self) -> None:
        # The latest after each step; all of them, which takes long, after each fifth.
        self.steps += 1
        for life in self.lives.values():
            if life.number != self.latest and self.steps % 5:
                continue
            order = self.api.show(life.number)
            assert (order["state"], order["version"]) == (life.state, life.version)
            assert set(order["next_states"]) == WAYS[life.state]
            assert order["asked"]["notes"] == life.notes
            assert order["asked"]["measurements"]["neck_girth"] == life.neck
            assert (order["plan"] is not None) == life.planned
            assert (order["outcome"] or {}).get("grams") == life.grams
            self.compare_history(life, order["history"])
            self.compare_money(life)

    def compare_history(self, life: Life, history: list[Json]) -> None:
        assert [event["kind"] for event in history] == life.kinds
        assert history[: len(life.written)] == life.written
        assert life.version == 1 + sum(e["kind"] not in {"taken", "paid"} for e in history)
        life.written = history

    def compare_money(self, life: Life) -> None:
        money = self.api.client.get(f"/api/v1/orders/{life.number}/money").json()
        paid = [Decimal(one["amount"]) for one in money["payments"]]
        assert paid == list(map(Decimal, life.paid))


@pytest.mark.parametrize("kind", LIVES)
def test_lives_of_orders_are_as_a_plain_model_says(
    request: pytest.FixtureRequest, kind: str
) -> None:
    class Here(OrderLives):
        database = request.getfixturevalue(f"{kind}_database")

    run_state_machine_as_test(
        Here,
        settings=settings(
            max_examples=LIVES[kind] * TIMES,
            stateful_step_count=STEPS,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
