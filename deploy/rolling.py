"""Servers replaced one after the other behind a proxy, under load: python -m deploy.rolling.

In the test environment (.env-check), from the top folder, with haproxy on the path (on Debian and
Ubuntu: sudo apt-get install haproxy). The proxy's settings are those of deploy/container, with the
addresses of this machine. The clients do not try again: a request that fails is a request that
failed. It prints how many did, and ends with 1 if there was one. Everything is on this machine.
"""

import argparse
import http.client
import itertools
import json
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path

from deploy.environment import ROOT, SetupError
from deploy.fleet import HOST, Fleet, fleet, free_port, machine
from deploy.load import find_url, prepare
from deploy.postgres import new_database
from deploy.traffic import YARN, at_most

DRAIN = 4
"""Seconds a server goes on after the sign to stop: the proxy looks at it twice in a second."""
CLIENTS = 4
FAULTS = 400
HOOD = {
    "dog": {"name": "Bramble", "breed": "Beagle", "weight": "11 kg"},
    "measurements": {
        "neck_length": "8 cm", "neck_girth": "35.5 cm", "nape_length": "11.4 cm",
        "face_girth": "38 cm",
    },
}  # fmt: skip
BODIES = {
    "/api/v1/checks": json.dumps(HOOD),
    "/api/v1/orders": json.dumps({**HOOD, "yarn": YARN, "buyer": {"name": "Ottoline Wrack"}}),
}
"""What is sent to these; the proxy may not send it a second time."""
JSON = {"Content-Type": "application/json"}
SETTINGS = ROOT / "deploy" / "container" / "haproxy.cfg"


def settings_for(text: str, port: int, ports: Sequence[int]) -> str:
    """Return the proxy's settings with addresses of this machine, and without TLS."""
    servers = "\n".join(f"    server s{n} {HOST}:{port}" for n, port in enumerate(ports))
    changes = (
        (r"(?m)^resolvers names\n(?:    .*\n)+", ""),
        (r"(?m)^    bind :8080\n    bind :8443 .*$", f"    bind {HOST}:{port}"),
        (r"(?m)^    http-request redirect scheme https .*$", ""),
        (r"(?m)^    server-template .*$", servers),
    )
    for found, put in changes:
        text, times = re.subn(found, put, text)
        if times != 1:
            raise SetupError(f"{SETTINGS} has changed: this trial does not find {found}.")
    return text


@contextmanager
def proxy(one: Fleet) -> Iterator[int]:
    """Run the proxy before a fleet; yield its port."""
    program = shutil.which("haproxy") or shutil.which("haproxy", path="/usr/sbin")
    if program is None:
        raise SetupError("haproxy is missing: sudo apt-get install haproxy.")
    port = free_port()
    settings = one.folder / "haproxy.cfg"
    text = settings_for(SETTINGS.read_text(encoding="utf-8"), port, list(one.servers))
    settings.write_text(text, encoding="utf-8")
    with (
        (one.folder / "haproxy.log").open("wb") as log,
        subprocess.Popen([program, "-db", "-f", settings], stdout=log, stderr=log) as process,
    ):
        try:
            time.sleep(3)  # its first look at each server
            yield port
        finally:
            process.terminate()


class Asking(threading.Thread):
    """A client that asks again and again, each time something else, and counts the answers."""

    def __init__(
        self, port: int, known: Mapping[str, str], end: threading.Event, paths: Sequence[str]
    ) -> None:
        """Take the proxy's port, what lets it in, when to end, and what to ask."""
        super().__init__()
        self._port, self._end, self._paths = port, end, itertools.cycle(paths)
        self._known = dict(known)
        self.answers: Counter[str] = Counter()
        self.took: list[float] = []

    def run(self) -> None:
        """Ask until told to end."""
        line = http.client.HTTPConnection(HOST, self._port, timeout=60)
        while not self._end.is_set():
            begun, path = time.monotonic(), next(self._paths)
            try:
                if path in BODIES:
                    line.request("POST", path, BODIES[path], {**self._known, **JSON})
                else:
                    line.request("GET", path, headers=self._known)
                answer = line.getresponse()
                answer.read()
                self.answers[str(answer.status)] += 1
                if answer.status >= FAULTS:
                    time.sleep(0.1)  # a refusal is quick, and would be most of what is counted
            except (OSError, http.client.HTTPException) as error:
                self.answers[type(error).__name__] += 1
                line.close()
                time.sleep(0.1)
            self.took.append(time.monotonic() - begun)
        line.close()


def replace_each(one: Fleet, times: int) -> None:
    """Replace each server by a new process, one after the other, as for a new version."""
    for _ in range(times):
        for port, process in list(one.servers.items()):
            begun = time.monotonic()
            process.send_signal(signal.SIGTERM)
            process.wait(60)
            ended = time.monotonic() - begun
            one.serve(port)
            one.wait_until_ready(port)
            time.sleep(2)  # the proxy has seen it, too
            whole = time.monotonic() - begun
            print(f"server {port}: ended in {ended:.1f} s, replaced in {whole:.1f} s", flush=True)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the trial; return 1 if a request failed."""
    parser = argparse.ArgumentParser(prog="deploy.rolling", description=__doc__)
    parser.add_argument("--servers", type=int, default=2)
    parser.add_argument("--times", type=int, default=2, help="how often each is replaced")
    parser.add_argument("--drain", type=float, default=DRAIN)
    parser.add_argument("--postgres", default="any", help="as for check.py")
    options = parser.parse_args(arguments)
    print(machine(), flush=True)
    end = threading.Event()
    with tempfile.TemporaryDirectory(prefix="hoodwright-rolling-") as name, ExitStack() as stack:
        url = stack.enter_context(new_database(find_url(options)))
        drain = {"HOODWRIGHT_DRAIN": str(options.drain)}
        one = stack.enter_context(fleet(url, Path(name), options.servers, 0, **drain))
        prepare(one)
        port = stack.enter_context(proxy(one))
        paths = ("/api/v1/orders", "/", "/orders", "/api/v1/checks", "/api/v1/shop", "/orders/new")
        clients = [Asking(port, one.known, end, paths[n:] + paths[:n]) for n in range(CLIENTS)]
        for each in clients:
            each.start()
        try:
            replace_each(one, options.times)
        finally:
            end.set()
            for each in clients:
                each.join()
    return told(clients)


def told(clients: Sequence[Asking]) -> int:
    """Print what became of the requests; return 1 if one failed."""
    answers = sum((each.answers for each in clients), Counter[str]())
    took = [one for each in clients for one in each.took]
    good = answers["200"] + answers["201"]
    print(f"{answers.total()} requests, 99 % within {at_most(took, 0.99):.0f} ms")
    print(f"failed: {answers.total() - good} {dict(answers)}")
    return int(answers.total() != good or not good)


if __name__ == "__main__":
    sys.exit(main())
