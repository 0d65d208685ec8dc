"""The memory of the serving process, beside the same imports idle.

    python3 -m tests.benchmarks.web.memory [requests, 100000]

A fifth of the requests is plans, the rest checks, orders read, lists and what to do today; every
hundredth takes an order, and fifty later it is cancelled, so that a shop that goes on for long has
as many open ones as before: today's answer tells each of them. Linux only: it reads the resident
pages from /proc.
"""

import json
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.web.client import load, request
from tests.benchmarks.web.serving import ROOT, bind, server
from tests.benchmarks.web.speed import answer
from tests.entering import KNOWN
from tests.service.api import DOG, HOOD, LENGTHS, order_body

GOAL_MB = 60
LINES = 8
IDLE = "import tests.benchmarks.web.serving, sys; print('ready', flush=True); sys.stdin.read()"


def resident(pid: int) -> float:
    """Return the resident memory of a process in MB."""
    for line in Path(f"/proc/{pid}/status").read_text(encoding="utf-8").splitlines():
        if line.startswith("VmRSS:"):
            return int(line.split()[1]) / 1024
    raise SystemExit("no VmRSS: this needs Linux")


def idle() -> float:
    """Return the memory of a process that has imported what serves, and does nothing."""
    with subprocess.Popen(  # noqa: S603 - ours
        [sys.executable, "-c", IDLE], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as process:
        if process.stdout:
            process.stdout.readline()
        found = resident(process.pid)
        process.kill()
    return found


def _later(first: str, by: int) -> str:
    """Return the order's number that comes so many after the first one's."""
    year, number = first.split("-")
    return f"{year}-{int(number) + by:0{len(number)}}"


def _mixed(first: str) -> Iterator[bytes]:
    checks = json.dumps({"dog": DOG, "measurements": LENGTHS}).encode()
    off = json.dumps({"to": "cancelled"}).encode()
    wires = [
        request("POST", "/api/v1/checks", KNOWN, checks),
        request("POST", "/api/v1/plans", KNOWN, json.dumps(HOOD).encode()),
        request("GET", f"/api/v1/orders/{first}", KNOWN),
        request("GET", "/api/v1/orders", KNOWN),
        request("GET", "/api/v1/today", KNOWN),
    ]
    order = request("POST", "/api/v1/orders", KNOWN, json.dumps(order_body()).encode())
    for turn in count():
        taken, place = divmod(turn, 100)
        if place == 49:
            yield order
        elif place == 99:
            path = f"/api/v1/orders/{_later(first, taken + 1)}/state"
            yield request("POST", path, {**KNOWN, "If-Match": '"1"'}, off)
        else:
            yield wires[turn % len(wires)]


def main(requests: int = 100_000) -> None:
    """Print the memory after each tenth of the requests."""
    bind(-1)
    floor = idle()
    with TemporaryDirectory() as place, server("shop", Path(place)) as (port, process):
        body = json.dumps(order_body()).encode()
        taken = answer(port, request("POST", "/api/v1/orders", KNOWN, body))
        wires = _mixed(json.loads(taken)["number"])
        print(f"the same imports, idle: {floor:.0f} MB; begun: {resident(process.pid):.0f} MB")
        told, answers = 0, Counter[int]()
        while answers.total() < requests:
            answers += load(port, wires, LINES, 5.0).statuses
            if answers.total() >= min(told + requests / 10, requests):
                told = answers.total()
                now = resident(process.pid)
                print(f"{told:>8} requests: {now:.0f} MB, {now - floor:+.0f} (goal +{GOAL_MB})",
                      flush=True)  # fmt: skip
        print(f"answers by status: {dict(answers)}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
