"""Servers in a process of their own, each bound to the first core; the client has the last.

python3 -m tests.benchmarks.web.serving shop FOLDER PORT
"""

import gc
import json
import os
import socket
import subprocess
import sys
import time
from collections.abc import Generator
from contextlib import contextmanager
from pathlib import Path

import uvicorn

from service.db import open_database
from service.orders import utc_now
from service.schema import upgrade
from service.web.application import create_app
from tests.benchmarks.web.bare import Stored, bare_app
from tests.entering import let_in

ROOT = Path(__file__).resolve().parents[3]
STORED = ("checks", "plans", "order", "listed")


def cores() -> list[int]:
    """The cores that this process may use, or none where the system does not say."""
    ask = getattr(os, "sched_getaffinity", None)
    return sorted(ask(0)) if ask else []


def bind(core: int) -> None:
    """Keep to one core, the first (0) or the last (-1), where there is more than one."""
    found = cores()
    if len(found) > 1:
        os.sched_setaffinity(0, {found[core]})


def free_port() -> int:
    """Return a port that nothing listens on."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        port: int = one.getsockname()[1]
    return port


@contextmanager
def server(kind: str, folder: Path) -> Generator[tuple[int, subprocess.Popen[bytes]]]:
    """Serve the shop or its floor over a database in a folder; yield the port and the process."""
    port = free_port()
    command = [sys.executable, "-m", __name__, kind, str(folder), str(port)]
    process = subprocess.Popen(command, cwd=ROOT)  # noqa: S603 - our own module
    try:
        _await(port, process)
        yield port, process
    finally:
        process.terminate()
        process.wait(30)


def _await(port: int, process: subprocess.Popen[bytes]) -> None:
    until = time.monotonic() + 60
    while time.monotonic() < until and process.poll() is None:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
        except OSError:
            time.sleep(0.02)
        else:
            return
    raise SystemExit("the server did not start")


def keep_stored(folder: Path, answers: dict[str, bytes], kept: int) -> None:
    """Write what the floor shall answer."""
    for name in STORED:
        (folder / name).write_bytes(answers[name])
    (folder / "kept").write_text(json.dumps(kept), encoding="utf-8")


def main(kind: str, place: str, port: str) -> None:
    """Serve until told to end."""
    folder = Path(place)
    bind(0)
    database = open_database(f"sqlite:///{folder / kind}.sqlite")
    if kind == "shop":
        upgrade(database.engine)
        let_in(database, utc_now())
        app = create_app(database)
    else:
        answers = {name: (folder / name).read_bytes() for name in STORED}
        kept = json.loads((folder / "kept").read_text(encoding="utf-8"))
        app = bare_app(database, Stored(**answers, kept=kept), keyed=kind == "keyed")
    gc.freeze()  # as a real start does
    uvicorn.run(app, port=int(port), log_level="warning", access_log=False)


if __name__ == "__main__":
    main(*sys.argv[1:])
