"""A mixed day's traffic, by clients that try again what failed, and know what must be kept.

What is asked again may have been done the first time: taking an order says so by its key, a move
by its version, and a mail is looked for before it is asked for once more.
"""

import http.client
import json
import random
import threading
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

HOST = "127.0.0.1"
LONGEST = 120
"""Seconds for which a client tries the same request."""
API = "/api/v1"
OK = range(200, 400)
AGAIN = (500, 502, 503, 504)
WAY = ("quoted", "accepted", "making", "finished")
DOGS = (
    ("Beagle", "11 kg", ("8 cm", "35.5 cm", "11.4 cm", "38 cm")),
    ("Whippet", "13 kg", ("12 cm", "32 cm", "12.5 cm", "36 cm")),
    ("Pug", "8 kg", ("5 cm", "34 cm", "8 cm", "36 cm")),
)
YARN = {
    "name": "Hemlock Aran", "fibres": [{"fibre": "acrylic", "percent": 100}], "weight_class": 4,
    "ball_metres": 170, "ball_grams": 100, "ball_price": "4.80", "lot": "K 214",
}  # fmt: skip


class FailedError(Exception):
    """A request that was not answered in time, however often it was sent."""


@dataclass
class Seen:
    """What all clients have seen together.

    Attributes:
        took: seconds of each kind of request that was answered in the end, with all tries.
        tries: requests that failed and were sent again, by what failed.
        failed: requests that were given up.
        orders: numbers of orders by the key they were taken with.
        states: the state each order was last moved to.
        mails: numbers of orders whose buyer was sent a mail.
        odd: answers that cannot be.
    """

    took: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    tries: Counter[str] = field(default_factory=Counter)
    failed: Counter[str] = field(default_factory=Counter)
    orders: dict[str, str] = field(default_factory=dict)
    states: dict[str, str] = field(default_factory=dict)
    mails: set[str] = field(default_factory=set)
    odd: list[str] = field(default_factory=list)


class Client:
    """One client, in a thread of its own, over all servers in turn."""

    def __init__(
        self, ports: Sequence[int], known: Mapping[str, str], seen: Seen, seed: int
    ) -> None:
        """Take where the servers are, what lets it in, and a seed for what is asked."""
        self._known = dict(known)
        self._ports, self._seen, self._seed = list(ports), seen, seed
        self._random = random.Random(seed)  # noqa: S311 - a day's traffic is no secret
        self._turn, self._taken = seed, 0
        self._mine: list[str] = []
        self._open: dict[int, http.client.HTTPConnection] = {}

    def _once(
        self, method: str, path: str, body: object, headers: dict[str, str]
    ) -> tuple[int, bytes, str]:
        port = self._ports[self._turn % len(self._ports)]
        self._turn += 1
        line = self._open.get(port) or http.client.HTTPConnection(HOST, port, timeout=60)
        self._open.pop(port, None)
        text = None if body is None else json.dumps(body).encode()
        if text is not None:
            headers = {**headers, "Content-Type": "application/json"}
        try:
            line.request(method, path, text, {**self._known, **headers})
            answer = line.getresponse()
            got = answer.status, answer.read(), answer.headers.get("ETag", "")
        except BaseException:
            line.close()
            raise
        self._open[port] = line
        return got

    def ask(
        self,
        kind: str,
        method: str,
        path: str,
        body: object = None,
        headers: dict[str, str] | None = None,
        done: Callable[[], bool] = lambda: False,
    ) -> tuple[int, Any, str]:
        """Ask until it is answered; `done` says whether a failed try was done all the same."""
        begun, pause = time.monotonic(), 0.05
        while True:
            try:
                status, text, tag = self._once(method, path, body, headers or {})
                what = str(status)
            except (OSError, http.client.HTTPException) as error:
                status, text, tag, what = 503, b"", "", type(error).__name__
            if status not in AGAIN:
                break
            self._seen.tries[what] += 1
            if time.monotonic() - begun > LONGEST:
                self._seen.failed[kind] += 1
                raise FailedError(kind)
            time.sleep(pause * (0.5 + self._random.random()))
            pause = min(pause * 2, 2)
            if done():
                status = 200
                break
        self._seen.took[kind].append(time.monotonic() - begun)
        if status not in OK and status != 412:  # noqa: PLR2004 - a move that was done already
            self._seen.odd.append(f"{kind}: {status} {text[:200]!r}")
        known = json.loads(text) if path.startswith(API) and text[:1] in b"{[" else text
        return status, known, tag

    def _hood(self) -> dict[str, Any]:
        breed, weight, lengths = self._random.choice(DOGS)
        names = ("neck_length", "neck_girth", "nape_length", "face_girth")
        dog = {"name": "Bramble", "breed": breed, "weight": weight}
        return {"dog": dog, "measurements": dict(zip(names, lengths, strict=True)), "yarn": YARN}

    def check(self) -> None:
        """Look at the numbers of a dog."""
        hood = self._hood()
        del hood["yarn"]
        self.ask("check", "POST", f"{API}/checks", hood)

    def plan(self) -> None:
        """Plan a hood without an order."""
        self.ask("plan", "POST", f"{API}/plans", self._hood())

    def take(self) -> None:
        """Take an order, with a key by which it is one however often it is sent."""
        self._taken += 1
        key = f"load-{self._seed}-{self._taken}"
        buyer = {"name": f"Ottoline {key}", "email": "ottoline@wrack.example"}
        order = {**self._hood(), "buyer": buyer}
        _, got, _ = self.ask("take", "POST", f"{API}/orders", order, {"Idempotency-Key": key})
        self._seen.orders[key] = got["number"]
        self._seen.states[got["number"]] = got["state"]
        self._mine.append(got["number"])

    def listed(self) -> None:
        """List the newest orders."""
        self.ask("list", "GET", f"{API}/orders")

    def _one(self) -> str:
        if not self._mine:
            self.take()
        return self._random.choice(self._mine[-20:])

    def page(self) -> None:
        """Open the page of an order."""
        self.ask("page", "GET", f"/orders/{self._one()}")

    def today(self) -> None:
        """Open the page of the day."""
        self.ask("today", "GET", "/")

    def ticket(self) -> None:
        """Print a work ticket."""
        number = self._one()
        _, got, _ = self.ask("ticket", "GET", f"{API}/orders/{number}/work-ticket.pdf")
        if bytes(got[:5]) != b"%PDF-":
            self._seen.odd.append(f"ticket of {number} is no PDF")

    def _state(self, number: str) -> tuple[str, str]:
        _, got, tag = self.ask("show", "GET", f"{API}/orders/{number}")
        return got["state"], tag

    def move(self) -> None:
        """Move an order on; a try that failed may have moved it."""
        number = self._one()
        state, tag = self._state(number)
        following = (*WAY, "")[WAY.index(state) + 1 if state in WAY else 0]
        if not following:
            return
        path, done = f"{API}/orders/{number}/state", lambda: self._state(number)[0] == following
        self.ask("move", "POST", path, {"to": following}, {"If-Match": tag}, done)
        self._seen.states[number] = following

    def mail(self) -> None:
        """Send the buyer the care sheet, once for each order."""
        number = self._one()
        if number in self._seen.mails:
            return
        path = f"{API}/orders/{number}/deliveries"

        def done() -> bool:
            _, got, _ = self.ask("look", "GET", path)
            return bool(got["deliveries"])

        self.ask("mail", "POST", path, {"kind": "care"}, done=done)
        self._seen.mails.add(number)

    def day(self, end: Callable[[], bool]) -> None:
        """Do what a day brings until told to end."""
        share = {
            self.check: 20, self.plan: 10, self.take: 10, self.listed: 15, self.page: 20,
            self.today: 5, self.ticket: 5, self.move: 10, self.mail: 5,
        }  # fmt: skip
        deeds, weights = list(share), list(share.values())
        while not end():
            try:
                self._random.choices(deeds, weights)[0]()
            except FailedError:
                continue
            except Exception as error:  # noqa: BLE001 - kept, and told at the end
                self._seen.odd.append(repr(error))
        for line in self._open.values():
            line.close()


def run_clients(
    ports: Sequence[int], known: Mapping[str, str], clients: int, seconds: float, seed: int = 0
) -> Seen:
    """Let so many clients work for so long; return what they have seen together."""
    seen, end = Seen(), time.monotonic() + seconds
    threads = [
        threading.Thread(
            target=Client(ports, known, seen, seed + n).day, args=[lambda: time.monotonic() >= end]
        )
        for n in range(clients)
    ]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    return seen


def at_most(took: Sequence[float], share: float) -> float:
    """Return the milliseconds that this share of the requests took at most."""
    ordered = sorted(took)
    return 1000 * ordered[min(int(len(ordered) * share), len(ordered) - 1)] if ordered else 0.0
