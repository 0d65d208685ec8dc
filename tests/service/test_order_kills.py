"""A server that is killed between requests and in the midst of them, with a plain model beside it.

What was acknowledged is there exactly once; what was broken off is there wholly or not at all; and
what is asked again with its key, or on its version, is done once. `HOODWRIGHT_LONG=1` tries many
more lives.
"""

import os
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from itertools import count
from pathlib import Path
from typing import Any, ClassVar, Final

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from deploy.hurting.calls import Answer, Call, answer_to
from deploy.hurting.load import ORDER, Kept, open_shop
from deploy.hurting.server import Server
from deploy.hurting.verdict import judged
from deploy.postgres import libpq_url, new_database
from tests.service.test_order_life import EMPTY_HANDED, STILL_CHANGED, WAYS

LONG: Final = os.environ.get("HOODWRIGHT_LONG") == "1"
LIVES, STEPS = (10, 12) if LONG else (2, 4)
BETWEEN: Final = -1.0
AFTER: Final = st.sampled_from([0.03, None, None, None, BETWEEN, 0, 0.01, 0.06, 0.12, 0.25])
"""Seconds from sending a request to the kill, which takes some hundredths; or a kill before it."""
WORDS: Final = st.sampled_from(["blue", "red, for 2 May", "Ärmel, 100 %", ""])
KINDS: Final = ("taken", "changed", "moved", "paid")
"""What is in a history; a mail's own events are counted as mails."""


@dataclass(frozen=True)
class Life:
    """What an order must be by now."""

    number: str
    key: str
    notes: str
    state: str = "enquiry"
    version: int = 1
    kinds: tuple[str, ...] = ("taken",)
    paid: tuple[str, ...] = ()
    mails: int = 0


@dataclass
class Story:
    """A server, and all that it has acknowledged."""

    server: Server
    kept: Kept = field(default_factory=Kept)
    seen: set[str] = field(default_factory=set)
    came: Counter[str] = field(default_factory=Counter)
    keys: Iterator[int] = field(default_factory=count)


class Killed(RuleBasedStateMachine):
    """Orders of a server that is killed again and again."""

    orders: Bundle[str] = Bundle("orders")
    story: ClassVar[Story]

    def __init__(self) -> None:
        super().__init__()
        self.lives: dict[str, Life] = {}
        self.latest = ""

    @property
    def server(self) -> Server:
        return self.story.server

    @initialize(target=orders, notes=WORDS, after=AFTER)
    def begin(self, notes: str, after: float | None) -> str:
        return self.took(notes, after)

    def start(self) -> None:
        self.server.process = self.server.launch()
        self.server.wait()

    def sent(self, what: str, after: float | None, *calls: Call) -> list[Answer]:
        """Send requests at once, and kill the server meanwhile, or before, where that is drawn."""
        if after == BETWEEN:
            self.server.kill()
            self.start()
            self.story.came["between requests"] += 1
            after = None
        with ThreadPoolExecutor(len(calls)) as threads:
            coming = [threads.submit(answer_to, call) for call in calls]
            if after is not None:
                time.sleep(after)
                self.server.kill()
            answers = [one.result() for one in coming]
        if after is not None:
            self.start()
            done = "answered" if any(one.status for one in answers) else "broken off"
            self.story.came[f"{what} {done}"] += 1
        return answers

    @rule(target=orders, notes=WORDS, after=AFTER, twice=st.booleans())
    def take(self, notes: str, after: float | None, *, twice: bool) -> str:
        return self.took(notes, after, twice=twice)

    def took(self, notes: str, after: float | None, *, twice: bool = False) -> str:
        key = f"kills {next(self.story.keys)}"
        buyer = {"name": f"Buyer {key}", "email": "ottoline@wrack.example"}
        told = {**ORDER, "buyer": buyer, "notes": notes}
        call = self.server.call("POST", "/orders", told, Idempotency_Key=key)
        answers = self.sent("take", after, *[call] * (1 + twice))
        there = self.fresh()
        for one in answers:
            if one.status:
                assert (one.status, [one.body["number"]]) == (201, there)
        assert len(there) <= 1
        if not there:
            self.story.came["not there, and done when asked again"] += 1
        again = answer_to(call)
        assert again.status == 201, again
        number: str = again.body["number"]
        assert self.fresh() == [number]
        assert there in ([], [number])
        self.story.seen.add(number)
        self.story.kept.orders[key] = number
        self.lives[number] = Life(number, key, notes)
        self.latest = number
        return number

    def fresh(self) -> list[str]:
        """Return the orders that nobody has seen yet."""
        listed = self.asked("/orders?limit=20")["orders"]
        return [one["number"] for one in listed if one["number"] not in self.story.seen]

    def asked(self, path: str) -> Any:  # noqa: ANN401 - JSON
        answer = answer_to(self.server.call("GET", path))
        assert answer.status == 200, answer
        return answer.body

    @rule(number=orders, notes=WORDS, after=AFTER)
    def change(self, number: str, notes: str, after: float | None) -> None:
        life = self.lives[number]
        if life.state in STILL_CHANGED:
            call = self.versioned(life, "PATCH", "", {"notes": notes})
            self.went_on(call, "changed", after, replace(life, notes=notes))

    @rule(number=orders, data=st.data(), after=AFTER)
    def move(self, number: str, data: st.DataObject, after: float | None) -> None:
        life = self.lives[number]
        to = data.draw(st.sampled_from(sorted(WAYS[life.state])))
        call = self.versioned(life, "POST", "/state", {"to": to, "note": EMPTY_HANDED})
        self.went_on(call, "moved", after, replace(life, state=to))

    def versioned(self, life: Life, method: str, below: str, told: object) -> Call:
        tag = f'"{life.version}"'
        return self.server.call(method, f"/orders/{life.number}{below}", told, If_Match=tag)

    def went_on(self, call: Call, kind: str, after: float | None, life: Life) -> None:
        """Make a change on a version, and ask for it again: it is done once."""
        before = self.lives[life.number]
        done = replace(life, version=before.version + 1, kinds=(*before.kinds, kind))
        (answer,) = self.sent(kind, after, call)
        there = self.settled(answer, 200, before, done)
        assert answer_to(call).status == (412 if there else 200)
        self.lives[life.number] = done

    def settled(self, answer: Answer, good: int, before: Life, done: Life) -> bool:
        """Return whether a change is there, wholly; if not, the order is as it was before."""
        self.latest = done.number
        now = self.found(before)
        if answer.status:
            assert (answer.status, now) == (good, done)
        assert now in (before, done)
        if now != done:
            self.story.came["not there, and done when asked again"] += 1
        return now == done

    @rule(number=orders, after=AFTER)
    def send(self, number: str, after: float | None) -> None:
        before, mail = self.lives[number], {"kind": "care", "language": "en"}
        call = self.server.call("POST", f"/orders/{number}/deliveries", mail, Idempotency_Key="it")
        done = replace(before, mails=1)
        (answer,) = self.sent("send", after, call)
        self.settled(answer, 201, before, done)
        again = answer_to(call)
        assert again.status == 201, again
        self.story.kept.deliveries[number] = again.body["id"]
        self.lives[number] = done

    @rule(number=orders, amount=st.sampled_from(["20.00", "-5.50"]), after=AFTER)
    def pay(self, number: str, amount: str, after: float | None) -> None:
        before = self.lives[number]
        told, key = {"amount": amount}, f"payment {next(self.story.keys)}"
        path = f"/orders/{number}/payments"
        call = self.server.call("POST", path, told, Idempotency_Key=key)
        done = replace(before, paid=(*before.paid, amount), kinds=(*before.kinds, "paid"))
        (answer,) = self.sent("pay", after, call)
        self.settled(answer, 201, before, done)
        again = answer_to(call)
        assert again.status == 201, again
        assert self.found(before) == done
        self.lives[number] = done

    def found(self, life: Life) -> Life:
        """Return what the server has of an order."""
        order = self.asked(f"/orders/{life.number}")
        money = self.asked(f"/orders/{life.number}/money")
        mails = self.asked(f"/orders/{life.number}/deliveries")
        return Life(
            order["number"],
            life.key,
            order["asked"]["notes"],
            order["state"],
            order["version"],
            tuple(one["kind"] for one in order["history"] if one["kind"] in KINDS),
            tuple(one["amount"] for one in money["payments"]),
            len(mails["deliveries"]),
        )

    @invariant()
    def the_latest_is_as_in_the_model(self) -> None:
        if self.latest:
            assert self.found(self.lives[self.latest]) == self.lives[self.latest]

    def teardown(self) -> None:
        for life in self.lives.values():
            assert self.found(life) == life


@pytest.fixture(params=["sqlite", "postgresql"])
def server(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Server]:
    """A server on each database in turn."""
    if request.param == "sqlite":
        yield Server(tmp_path / "data")
        return
    with new_database(libpq_url(request.getfixturevalue("postgres_url"))) as url:
        yield Server(tmp_path / "data", url)


def test_a_killed_server_has_what_a_plain_model_says(server: Server) -> None:
    server.folder.mkdir()
    server.let_in()
    server.start()
    try:
        open_shop(server)

        class Here(Killed):
            story = Story(server)

        run_state_machine_as_test(
            Here,
            settings=settings(
                max_examples=LIVES,
                stateful_step_count=STEPS,
                deadline=None,
                database=None,
                phases=[Phase.generate],  # nothing to shrink: when a kill hits is chance
                suppress_health_check=list(HealthCheck),
            ),
        )
    finally:
        server.kill()
    verdict = judged(server, Here.story.kept)
    print(dict(Here.story.came), verdict)  # noqa: T201 - shown by -s
    assert verdict.sound, verdict
    assert verdict.orders >= LIVES
    if LONG:  # every kind of kill came about
        assert {"take broken off", "changed broken off"} <= Here.story.came.keys()
        assert {"take answered", "between requests"} <= Here.story.came.keys()
