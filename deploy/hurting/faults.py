"""The faults: each hurts a server under load in one way, and returns what it came to."""

import os
import random
import shutil
import sqlite3
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median

import psycopg
from psycopg import sql

from deploy.hurting.calls import answer_to
from deploy.hurting.load import ORDER, Kept, Load, open_shop
from deploy.hurting.server import Server
from deploy.hurting.verdict import Verdict, judged
from deploy.striking import StruckDatabase

CLIENTS = 4
Hurt = Callable[[Server], None]


@dataclass
class Row:
    """One line of the table."""

    fault: str
    server: str
    times: int
    verdict: Verdict
    recovery: list[float] = field(default_factory=list)
    told: str = ""

    def cells(self) -> list[str]:
        """Return the line."""
        one = self.verdict
        back = f"{median(self.recovery):.2f} / {max(self.recovery):.2f}" if self.recovery else ""
        numbers = (self.times, one.orders, one.deliveries, one.lost, one.doubled, one.half)
        sound = "yes" if one.sound else "NO: " + "; ".join(one.wrong)[:300]
        return [self.fault, self.server, *map(str, numbers), sound, back, self.told]


def told(kept: Kept) -> str:
    """Return what the clients were told meanwhile."""
    codes = [f"{code} {count}" for code, count in sorted(kept.codes.items())]
    return ", ".join([*codes, f"broken connections {kept.broken}"])


def under_load(server: Server, fault: str, times: int, hurt: Hurt) -> Row:
    """Hurt a server again and again while clients work; it is well when it answers anew."""
    server.let_in()
    server.start()
    open_shop(server)
    dice = random.Random(fault)  # noqa: S311 - no secret
    recovery = []
    try:
        with Load(server, CLIENTS) as kept:
            for _ in range(times):
                time.sleep(dice.uniform(0.1, 2.5))
                hurt(server)
                began = time.monotonic()
                server.wait()
                recovery.append(time.monotonic() - began)
        before = judged(server, kept)
    finally:
        server.kill()
    # Once more without a server: what only its memory held would be gone now.
    after = judged(server, kept)
    verdict = after if before.sound else before
    return Row(fault, server.kind, times, verdict, recovery, told(kept))


def kill(server: Server) -> None:
    """Kill -9, and start again."""
    server.kill()
    server.process = server.launch()


def delete_file(server: Server) -> None:
    """Delete the database and its log under the server."""
    for ending in ("", "-wal", "-shm"):
        server.database.with_name(server.database.name + ending).unlink(missing_ok=True)


def move_away(server: Server) -> None:
    """Move the database away for a second, and back."""
    away = server.database.with_name("elsewhere")
    server.database.rename(away)
    time.sleep(1)
    away.rename(server.database)


def hold(server: Server) -> None:
    """Let another program hold the database for seven seconds."""
    with closing(sqlite3.connect(server.database, isolation_level=None, timeout=30)) as other:
        other.execute("BEGIN IMMEDIATE")
        time.sleep(7)


class PutBack:
    """Puts the server's clock back, by an hour or more than a year, and forward again."""

    SHIFTS = (-3600.0, 0.0, -400 * 86_400.0, -86_400.0, 0.0)

    def __init__(self) -> None:
        """Begin with the first."""
        self._turn = 0

    def __call__(self, server: Server) -> None:
        """Set it, and let it go so for a second."""
        server.set_clock(self.SHIFTS[self._turn % len(self.SHIFTS)])
        self._turn += 1
        time.sleep(1)


class StartAnew:
    """Starts a database server anew under load: told to stop, and as after a crash, in turn."""

    def __init__(self, database: StruckDatabase) -> None:
        """Take a server of our own."""
        self._database = database
        self._turn = 0

    def __call__(self, server: Server) -> None:
        """Stop it, leave it away for a second, and start it."""
        del server
        if self._turn % 2:
            self._database.crash()
        else:
            self._database.stop()
        self._turn += 1
        time.sleep(1)
        self._database.start()


def end_connections(server: Server) -> None:
    """End all connections of the server, in the midst of what they do."""
    with psycopg.connect(server.url, autocommit=True) as connection:
        connection.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
            " WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )


def read_only(server: Server) -> None:
    """Let the database server take no writes for a second."""
    _default_read_only(server, "on")
    end_connections(server)
    time.sleep(1)
    _default_read_only(server, "off")
    end_connections(server)


def _default_read_only(server: Server, state: str) -> None:
    name = psycopg.conninfo.conninfo_to_dict(server.url)["dbname"]
    with psycopg.connect(server.url, autocommit=True) as connection:
        connection.execute("SET default_transaction_read_only = off")
        statement = "ALTER DATABASE {} SET default_transaction_read_only = {}"
        connection.execute(sql.SQL(statement).format(sql.Identifier(str(name)), sql.SQL(state)))


def immutable(server: Server) -> None:
    """Forbid every write to the database's files for a second, as root can."""
    files = [str(path) for path in server.folder.glob("hoodwright.sqlite*")]
    subprocess.run(["chattr", "+i", *files], check=True)
    time.sleep(1)
    subprocess.run(["chattr", "-i", *files], check=True)


def second(folder: Path) -> Row:
    """Start a second server on the same file."""
    server = Server(folder)
    server.let_in()
    server.start()
    other = Server(folder)
    process = other.launch()
    process.join(60)
    said = server.said().strip().splitlines()
    refused = process.exitcode == 1 and "already" in (said[-1] if said else "")
    kept = Kept() if refused else Kept(faults=["the second was not refused"])
    process.kill()
    verdict = judged(server, kept)
    server.kill()
    return Row("a second server", "SQLite", 1, verdict, told="refused: says where the first is")


@contextmanager
def small_disk(folder: Path, *, mount: bool) -> Iterator[str]:
    """A disk of 6 MB at a folder where that can be had."""
    folder.mkdir(parents=True, exist_ok=True)
    mounted = False
    if mount and hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("mount"):
        made = ["mount", "-t", "tmpfs", "-o", "size=6m", "tmpfs", str(folder)]
        mounted = subprocess.run(made, check=False, capture_output=True).returncode == 0
    try:
        yield "a disk of 6 MB (tmpfs)" if mounted else ""
    finally:
        if mounted:
            subprocess.run(["umount", "-l", str(folder)], check=False)


def _fill(server: Server, kept: Kept, most: int = 400) -> str:
    """Take orders until one is refused; return the code it was refused with."""
    for number in range(most):
        key = f"fill {len(kept.orders)} {number}"
        body = {**ORDER, "buyer": {"name": key}, "notes": "x" * 1900}
        came = answer_to(server.call("POST", "/orders", body, Idempotency_Key=key))
        if came.status != 201:  # noqa: PLR2004 - taken
            return f"{came.status} {came.code}"
        kept.orders[key] = came.body["number"]
    return "never refused"


def full_disk(folder: Path, times: int, *, mount: bool = True) -> Row:
    """Fill the disk, see what is said, free some room, and go on."""
    kept, codes, recovery = Kept(), set(), []
    folder.mkdir(parents=True, exist_ok=True)
    with small_disk(folder, mount=mount) as disk:
        server = Server(folder)
        server.let_in()
        server.start()
        for turn in range(times):
            free = _no_room(server, disk, turn)
            codes.add(_fill(server, kept))
            if answer_to(server.call("GET", "/orders")).status != 200:  # noqa: PLR2004 - read
                kept.faults.append("orders cannot be read while the disk is full")
            free()
            began = time.monotonic()
            if _fill(server, kept, 1) != "never refused":
                kept.faults.append("it does not go on when there is room again")
            recovery.append(time.monotonic() - began)
        server.kill()
        verdict = judged(server, kept)
    how = disk or "RLIMIT_FSIZE"
    return Row(f"disk full: {how}", "SQLite", times, verdict, recovery, ", ".join(codes))


def _no_room(server: Server, disk: str, turn: int) -> Callable[[], None]:
    """Leave little room; return how to make some again."""
    if disk:
        ballast = server.folder / f"ballast {turn}"
        room = shutil.disk_usage(server.folder).free - 150_000
        ballast.write_bytes(b"\0" * max(room, 0))
        return ballast.unlink
    import resource  # noqa: PLC0415 - not on Windows

    pid = (server.process.pid if server.process else None) or 0
    wal = server.database.with_name(f"{server.database.name}-wal")
    sizes = [path.stat().st_size for path in (server.database, wal) if path.exists()]
    usual = resource.prlimit(pid, resource.RLIMIT_FSIZE, (max(sizes) + 50_000, -1))

    def free() -> None:
        resource.prlimit(pid, resource.RLIMIT_FSIZE, usual)

    return free
