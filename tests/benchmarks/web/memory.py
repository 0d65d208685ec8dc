"""The memory of the serving process, beside the same imports idle.

    python3 -m tests.benchmarks.web.memory [requests, 100000]

A fifth of the requests is plans, the rest checks, orders read, lists and pages; every hundredth
takes an order. Linux only: it reads the resident pages from /proc.
"""

import json
import subprocess
import sys
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


def _mixed(number: str) -> Iterator[bytes]:
    checks = json.dumps({"dog": DOG, "measurements": LENGTHS}).encode()
    wires = [
        request("POST", "/api/v1/checks", KNOWN, checks),
        request("POST", "/api/v1/plans", KNOWN, json.dumps(HOOD).encode()),
        request("GET", f"/api/v1/orders/{number}", KNOWN),
        request("GET", "/api/v1/orders", KNOWN),
        request("GET", "/api/v1/today", KNOWN),
    ]
    order = request("POST", "/api/v1/orders", KNOWN, json.dumps(order_body()).encode())
    for turn in count():
        yield order if turn % 100 == 99 else wires[turn % len(wires)]


def main(requests: int = 100_000) -> None:
    """Print the memory after each tenth of the requests."""
    bind(-1)
    floor = idle()
    with TemporaryDirectory() as place, server("shop", Path(place)) as (port, process):
        body = json.dumps(order_body()).encode()
        taken = answer(port, request("POST", "/api/v1/orders", KNOWN, body))
        wires = _mixed(json.loads(taken)["number"])
        print(f"the same imports, idle: {floor:.0f} MB; begun: {resident(process.pid):.0f} MB")
        done = told = 0
        while done < requests:
            done += len(load(port, wires, LINES, 5.0).waits)
            if done >= told + requests / 10:
                told = done
                now = resident(process.pid)
                print(f"{done:>8} requests: {now:.0f} MB, {now - floor:+.0f} (goal +{GOAL_MB})",
                      flush=True)  # fmt: skip


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
