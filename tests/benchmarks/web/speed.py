"""Requests beside their floor, taken in turns in one run.

    python3 -m tests.benchmarks.web.speed [seconds for each turn, 2] [turns, 5]

F is the floor's time for a request (`bare.py`), C the pure computation's in a process of its own
right. What F and C allow together is 1 / (F + C) requests a second; the ratio is what the shop
reaches of that. K is the floor when it looks up the key of each request, as the shop must, and
“of K” what the shop reaches of 1 / (K + C). Run on an idle machine: no test times anything.

On a machine with other work the last columns tell more: the processor's time for a request, and
what F and C take of the shop's.
"""

import json
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from http.client import HTTPConnection
from itertools import count, cycle
from pathlib import Path
from statistics import median
from subprocess import Popen
from tempfile import TemporaryDirectory

from sqlalchemy import text

from deploy.fleet import seconds_of as worked
from service.bodies import ChecksIn, OrderIn, PlanIn
from service.db import open_database
from service.planning import examined, request_of
from sizing.plan import make_plan
from tests.benchmarks.web.client import Load, load, request, together
from tests.benchmarks.web.serving import bind, keep_stored, server
from tests.entering import KNOWN
from tests.service.api import DOG, HOOD, LENGTHS, order_body

Served = tuple[int, Popen[bytes]]
"""A port, and the process that serves there."""
LINES = 16
LISTED = 50


@dataclass(frozen=True)
class Case:
    """One kind of request: how it is sent to the shop and to the floor, and what C is."""

    name: str
    goal: float
    status: int
    shop: Callable[[], Iterator[bytes]]
    bare: Callable[[], Iterator[bytes]]
    compute: Callable[[], object] | None = None


def _ways(method: str, path: str, bodies: list[bytes]) -> Callable[[], Iterator[bytes]]:
    return lambda: cycle([request(method, path, KNOWN, body) for body in bodies])


def _orders() -> Iterator[bytes]:
    body = json.dumps(order_body()).encode()
    for number in count():
        key = f"{time.time_ns()}-{number}"
        yield request("POST", "/api/v1/orders", {**KNOWN, "Idempotency-Key": key}, body)


def _cases(number: str) -> list[Case]:
    checks = json.dumps({"dog": DOG, "measurements": LENGTHS}).encode()
    plans, order = json.dumps(HOOD).encode(), json.dumps(order_body()).encode()
    asked, planned = ChecksIn.model_validate_json(checks), PlanIn.model_validate_json(plans)
    ordered = OrderIn.model_validate_json(order)
    posts = {"checks": checks, "plans": plans}
    ways = {name: _ways("POST", f"/api/v1/{name}", [body]) for name, body in posts.items()}
    wanted = request_of(planned, planned.rates)
    kept = request_of(ordered, planned.rates)
    return [
        Case("POST /checks", 0.8, 200, ways["checks"], ways["checks"], lambda: examined(asked)),
        Case("POST /plans", 0.8, 200, ways["plans"], ways["plans"], lambda: make_plan(wanted)),
        Case("POST /orders", 0.6, 201, _orders, _orders, lambda: make_plan(kept)),
        Case(
            "GET /orders/{number}",
            0.7,
            200,
            _ways("GET", f"/api/v1/orders/{number}", [b""]),
            _ways("GET", "/api/v1/orders/1", [b""]),
        ),
        Case(
            f"GET /orders, {LISTED} lines",
            0.7,
            200,
            _ways("GET", f"/api/v1/orders?limit={LISTED}", [b""]),
            _ways("GET", f"/api/v1/orders?limit={LISTED}", [b""]),
        ),
    ]


def seconds_of(compute: Callable[[], object] | None, rounds: int = 200) -> float:
    """Return the median of the processor's seconds that a computation takes."""
    if compute is None:
        return 0.0
    taken = []
    for _ in range(rounds):
        begun = time.process_time()
        compute()
        taken.append(time.process_time() - begun)
    return median(taken)


def answer(port: int, wire: bytes) -> bytes:
    """Return the body of one answer."""
    head, _, body = wire.partition(b"\r\n\r\n")
    method, path, _ = head.split(b"\r\n")[0].decode().split(" ")
    line = HTTPConnection("127.0.0.1", port)
    line.request(method, path, body or None, {"Content-Type": "application/json", **KNOWN})
    got = line.getresponse().read()
    line.close()
    return got


def _kept_bytes(folder: Path) -> int:
    """Return the bytes that all columns of one order's rows take."""
    database = open_database(f"sqlite:///{folder / 'shop'}.sqlite")
    whole = 0
    with database.engine.connect() as connection:
        for table in ("hood_order", "order_event", "remembered_key"):
            rows = connection.execute(text(f"SELECT * FROM {table}")).all()  # noqa: S608 - ours
            whole += sum(len(str(value)) for value in rows[0]) if rows else 0
    database.close()
    return whole


def _fill(port: int, folder: Path) -> str:
    """Take enough orders for a full list, and keep what the floor shall answer."""
    wires = _orders()
    body = b""
    for _ in range(LISTED):
        body = answer(port, next(wires))
    number: str = json.loads(body)["number"]
    by_name = {case.name: next(case.shop()) for case in _cases(number)}
    got = {name: answer(port, wire) for name, wire in by_name.items() if "POST /o" not in name}
    stored = {
        "checks": got["POST /checks"],
        "plans": got["POST /plans"],
        "order": got["GET /orders/{number}"],
        "listed": got[f"GET /orders, {LISTED} lines"],
    }
    keep_stored(folder, stored, _kept_bytes(folder))
    return number


def _turns(servers: Sequence[Served], case: Case, seconds: float, turns: int) -> list[Load]:
    """Return the load that each server bore, the shop's first."""
    found: list[list[Load]] = [[] for _ in servers]
    for _ in range(turns):
        for place, ((port, process), loads) in enumerate(zip(servers, found, strict=True)):
            before = worked(process)
            one = load(port, (case.bare if place else case.shop)(), LINES, seconds)
            one.processor = worked(process) - before
            one.refuse(case.status)
            loads.append(one)
    return list(map(together, found))


def main(seconds: float = 2.0, turns: int = 5) -> None:
    """Print the table."""
    bind(-1)
    with TemporaryDirectory() as place:
        folder = Path(place)
        with server("shop", folder) as shop:
            number = _fill(shop[0], folder)
            with server("bare", folder) as bare, server("keyed", folder) as keyed:
                print(
                    f"{'request':<24}{'shop /s':>9}{'floor /s':>9}{'C ms':>7}{'allowed':>9}"
                    f"{'ratio':>7}{'goal':>6}{'p50 ms':>8}{'p99 ms':>8}{'K /s':>7}{'of K':>6}"
                    f"{'shop ms':>9}{'F ms':>6}{'F + C':>7}"
                )
                for case in _cases(number):
                    ours, floor, known = _turns((shop, bare, keyed), case, seconds, turns)
                    c = seconds_of(case.compute)
                    allowed, fair = (1 / (1 / one.per_second + c) for one in (floor, known))
                    print(
                        f"{case.name:<24}{ours.per_second:>9.0f}{floor.per_second:>9.0f}"
                        f"{c * 1000:>7.2f}{allowed:>9.0f}{ours.per_second / allowed:>7.2f}"
                        f"{case.goal:>6}{ours.middle_ms:>8.1f}{ours.slow_ms:>8.1f}"
                        f"{known.per_second:>7.0f}{ours.per_second / fair:>6.2f}"
                        f"{ours.cost * 1000:>9.2f}{floor.cost * 1000:>6.2f}"
                        f"{(floor.cost + c) / ours.cost:>7.2f}",
                        flush=True,
                    )


if __name__ == "__main__":
    main(*[kind(value) for kind, value in zip((float, int), sys.argv[1:], strict=False)])
