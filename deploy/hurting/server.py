"""A server in a process of its own that can be killed and started again in a moment.

Each is a fork of a process that has loaded the program's modules and nothing else, so that a
start costs no loading. From there on it is the command `hoodwright serve`, as anybody starts it.
"""

import multiprocessing
import os
import socket
import time
from contextlib import closing
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import partial
from multiprocessing.context import ForkServerProcess
from pathlib import Path

from deploy.hurting.calls import Call, answers

KEY = "a-key-of-the-faults"
PATIENCE = 120.0  # seconds a loaded machine may take to start
_FORKS = multiprocessing.get_context("forkserver")
_FORKS.set_forkserver_preload(["service.console", "service.sending.queue"])


def _serve(arguments: list[str], variables: dict[str, str], log: str, clock: str) -> None:
    """Be the server: what it says goes to a file, and a file says how wrong its clock is."""
    from service.commands import serving  # noqa: PLC0415
    from service.console import main  # noqa: PLC0415 - loaded already where this is forked from
    from service.orders import utc_now  # noqa: PLC0415
    from service.web.application import create_app  # noqa: PLC0415

    def wrong() -> datetime:
        return utc_now() + timedelta(seconds=float(Path(clock).read_text(encoding="ascii")))

    # The clock is a parameter of the application; the command alone gives it the machine's own.
    vars(serving)["create_app"] = partial(create_app, clock=wrong)

    out = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    os.dup2(out, 1)
    os.dup2(out, 2)
    for name in [name for name in os.environ if name.startswith("HOODWRIGHT_")]:
        del os.environ[name]
    os.environ.update(variables)
    os._exit(main(["serve", *arguments]))


def _let_in(url: str) -> None:
    """Put an account with a key into a database, as a program that may do all has one."""
    from service.db import open_database  # noqa: PLC0415 - as above
    from service.doors.roles import Role, Scope  # noqa: PLC0415
    from service.links import digest  # noqa: PLC0415
    from service.models import AccessKey, Account  # noqa: PLC0415
    from service.orders import utc_now  # noqa: PLC0415
    from service.schema import upgrade  # noqa: PLC0415

    database, now = open_database(url), utc_now()
    upgrade(database.engine)
    with database.writing() as session:
        who = Account(name="Tess", key="tess", role=Role.MAKER.value, made_at=now)
        who.password = "none"  # noqa: S105 - it fits nothing
        session.add(who)
        session.flush()
        scopes = [scope.value for scope in Scope]
        key = AccessKey(
            account_id=who.id or 0, name="faults", scopes=scopes, token_hash=digest(KEY),
            made_at=now, used_at=now,
        )  # fmt: skip
        session.add(key)
    database.close()


def free_port() -> int:
    """Return a port that nobody listens on."""
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    return port


@dataclass
class Server:
    """A server of one database.

    Attributes:
        folder: its data folder.
        url: of a database server; nothing for the embedded database.
    """

    folder: Path
    url: str = ""
    port: int = field(default_factory=free_port)
    process: ForkServerProcess | None = None

    @property
    def database(self) -> Path:
        """The embedded database's file."""
        return self.folder / "hoodwright.sqlite"

    @property
    def log(self) -> Path:
        """What it said."""
        return self.folder.with_name(f"{self.folder.name}.log")

    @property
    def clock(self) -> Path:
        """By how many seconds its clock is wrong."""
        return self.folder.with_name(f"{self.folder.name}.clock")

    def set_clock(self, seconds: float) -> None:
        """Let its clock be wrong from now on."""
        # In one piece: it is read meanwhile.
        fresh = self.clock.with_suffix(".new")
        fresh.write_text(str(seconds), encoding="ascii")
        fresh.replace(self.clock)

    @property
    def kind(self) -> str:
        """Which kind of database it is."""
        return "PostgreSQL" if self.url else "SQLite"

    def call(self, method: str, path: str, body: object = None, **headers: str) -> Call:
        """Return a call to its API."""
        address = f"http://127.0.0.1:{self.port}/api/v1{path}"
        named = {name.replace("_", "-"): text for name, text in headers.items()}
        return Call(method, address, body, {"Authorization": f"Bearer {KEY}", **named})

    def let_in(self) -> None:
        """Make a new database that our key opens."""
        url = self.url or f"sqlite:///{self.database}"
        made = _FORKS.Process(target=_let_in, args=(url,))
        made.start()
        made.join()

    def launch(self) -> ForkServerProcess:
        """Begin to start."""
        variables = {"HOODWRIGHT_DATABASE_URL": self.url} if self.url else {}
        arguments = ["--port", str(self.port), "--data", str(self.folder), "--quiet"]
        if not self.clock.exists():
            self.set_clock(0)
        told = (arguments, variables, str(self.log), str(self.clock))
        made = _FORKS.Process(target=_serve, args=told)
        made.start()
        return made

    def start(self) -> None:
        """Start, and wait until it answers."""
        self.process = self.launch()
        self.wait()

    def wait(self) -> None:
        """Wait until it answers."""
        end = time.monotonic() + PATIENCE
        look = self.call("GET", "/orders?limit=1")
        while not answers(look):
            if self.process is not None and not self.process.is_alive():
                raise RuntimeError(f"the server ended: {self.said()[-600:]}")
            if time.monotonic() > end:
                raise RuntimeError(f"the server does not answer: {self.said()[-600:]}")
            time.sleep(0.02)

    def kill(self) -> None:
        """Kill it, as `kill -9` does."""
        if self.process is not None:
            self.process.kill()
            self.process.join()

    def said(self) -> str:
        """Return what it said, of all its starts."""
        return self.log.read_text(encoding="utf-8", errors="replace") if self.log.exists() else ""
