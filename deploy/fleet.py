"""Several servers and workers of one shop, as processes of this machine: for trials by hand."""

import os
import re
import secrets
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from deploy.environment import ROOT, SetupError

PATIENCE = 180
"""Seconds a server may take to start, on a machine that has other work."""
HOST = "127.0.0.1"


def free_port() -> int:
    """Return a port that nobody listens on now."""
    with socket.socket() as probe:
        probe.bind((HOST, 0))
        number: int = probe.getsockname()[1]
        return number


@dataclass
class Fleet:
    """The processes, by what they do.

    Attributes:
        url: the shop's database, as the service reads it.
        folder: data folder, logs and written mails.
        named: further variables of the service.
        known: the headers by which clients are let in.
    """

    url: str
    folder: Path
    named: Mapping[str, str] = field(default_factory=dict)
    known: Mapping[str, str] = field(default_factory=dict)
    servers: dict[int, subprocess.Popen[bytes]] = field(default_factory=dict)
    workers: list[subprocess.Popen[bytes]] = field(default_factory=list)

    def _variables(self) -> dict[str, str]:
        clean = {name: text for name, text in os.environ.items() if "HOODWRIGHT" not in name}
        own = {
            "PYTHONPATH": str(ROOT),
            "HOODWRIGHT_DATABASE_URL": self.url,
            "HOODWRIGHT_DATA": str(self.folder),
        }
        return {**clean, **own, **self.named}

    def _run(self, log: str, *arguments: str) -> subprocess.Popen[bytes]:
        with (self.folder / log).open("ab") as out:
            return subprocess.Popen(
                [sys.executable, "-P", "-m", "service.command", *arguments],
                env=self._variables(),
                cwd=self.folder,
                stdin=subprocess.DEVNULL,
                stdout=out,
                stderr=out,
                start_new_session=True,  # a Ctrl-C is ours to pass on
            )

    def migrate(self) -> None:
        """Make the tables, or bring them up to date."""
        if self._run("migrate.log", "migrate").wait(PATIENCE):
            raise SetupError(f"the tables cannot be made; see {self.folder / 'migrate.log'}")

    def let_in(self) -> dict[str, str]:
        """Make an account; return the headers by which a client is somebody."""
        from service.db import open_database  # noqa: PLC0415 - only the trials need the service
        from service.doors.accounts import make_account, set_password  # noqa: PLC0415
        from service.doors.keys import make_key  # noqa: PLC0415
        from service.doors.passwords import Hasher  # noqa: PLC0415
        from service.doors.roles import Role, Scope  # noqa: PLC0415
        from service.doors.sessions import sign_in  # noqa: PLC0415
        from service.orders import utc_now  # noqa: PLC0415
        from service.web.visitor import COOKIE  # noqa: PLC0415

        database = open_database(self.url)
        with database.writing() as session:
            account = make_account(session, "Tess Tamber", Role.MAKER, utc_now())
            set_password(session, account, secrets.token_urlsafe(20), Hasher())
            _, key = make_key(session, account, "trial", list(Scope), utc_now())
            cookie = sign_in(session, account, utc_now())
        database.close()
        return {"Authorization": f"Bearer {key}", "Cookie": f"{COOKIE}={cookie}"}

    def serve(self, port: int) -> None:
        """Start a server, also in the place of one that ended."""
        log = f"server-{port}.log"
        self.servers[port] = self._run(log, "serve", "--host", HOST, "--port", str(port))

    def work(self) -> None:
        """Start a worker."""
        self.workers.append(self._run(f"worker-{len(self.workers)}.log", "work"))

    def raise_up(self) -> int:
        """Start again what ended, as a supervisor does; return how many that were."""
        fallen = [port for port, one in self.servers.items() if one.poll() is not None]
        for port in fallen:
            self.serve(port)
        ended = [one for one in self.workers if one.poll() is not None]
        for one in ended:
            self.workers.remove(one)
            self.work()
        return len(fallen) + len(ended)

    def wait_until_ready(self, port: int) -> None:
        """Wait until a server says that it can be asked."""
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end and self.servers[port].poll() is None:
            with suppress(OSError):
                urllib.request.urlopen(f"http://{HOST}:{port}/readyz", timeout=10).close()
                return
            time.sleep(0.1)
        raise SetupError(f"the server on port {port} does not start; see {self.folder}")

    def end(self) -> None:
        """End whatever still runs."""
        running = [*self.servers.values(), *self.workers]
        for one in running:
            one.terminate()
        for one in running:
            try:
                one.wait(60)
            except subprocess.TimeoutExpired:
                one.kill()
                one.wait()


@contextmanager
def fleet(url: str, folder: Path, servers: int, workers: int, **named: str) -> Iterator[Fleet]:
    """Yield a running fleet over a database; all of it ends with the block."""
    one = Fleet(as_service(url), folder, named)
    with ExitStack() as stack:
        stack.callback(one.end)
        one.migrate()
        one.known = one.let_in()
        ports = [free_port() for _ in range(servers)]
        for port in ports:
            one.serve(port)
        for _ in range(workers):
            one.work()
        for port in ports:
            one.wait_until_ready(port)
        yield one


def as_service(url: str) -> str:
    """Return libpq's address of a database as the service reads it."""
    return re.sub(r"\Apostgres(?:ql)?(?:\+\w+)?://", "postgresql+psycopg://", url)


def machine() -> str:
    """Return a sentence on this machine and how busy it is."""
    cores, load = os.cpu_count(), os.getloadavg()[0]
    name = next(
        (
            line.partition(":")[2].strip()
            for line in _lines(Path("/proc/cpuinfo"))
            if line.startswith("model name")
        ),
        "processor unknown",
    )
    python = sys.version.split()[0]
    return f"{cores} cores ({name}), Python {python}, load before the trial {load:.1f}"


def _lines(path: Path) -> list[str]:
    with suppress(OSError):
        return path.read_text(encoding="utf-8", errors="replace").splitlines()
    return []


def memory_of(process: subprocess.Popen[bytes]) -> float:
    """Return the megabytes that a process holds in memory of its own, or shared."""
    for line in _lines(Path(f"/proc/{process.pid}/status")):
        if line.startswith("VmRSS:"):
            return int(line.split()[1]) / 1024
    return 0.0


def seconds_of(process: subprocess.Popen[bytes]) -> float:
    """Return the processor's seconds that a process has used."""
    lines = _lines(Path(f"/proc/{process.pid}/stat"))
    if not lines:
        return 0.0
    fields = lines[0].rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
