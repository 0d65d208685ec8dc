"""Blows to a fleet under load, and the count afterwards: nothing lost, nothing doubled."""

import os
import shutil
import signal
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import psycopg

from deploy.environment import SetupError
from deploy.fleet import HOST, Fleet, free_port
from deploy.postgres import installed
from deploy.postgres_server import account
from deploy.traffic import Seen, at_most, run_clients

CLIENTS = 6
MAIL_PATIENCE = 240
"""Seconds in which a mail that a killed worker held must have gone: its claim runs out first."""


@dataclass
class StruckDatabase:
    """A PostgreSQL server of our own that may crash: it writes to the disk as a real one does."""

    programs: Path
    folder: Path
    port: int
    user: str | None

    @property
    def url(self) -> str:
        """The address of its database."""
        return f"postgresql://postgres@{HOST}:{self.port}/postgres"

    def _control(self, *arguments: str) -> None:
        command = [str(self.programs / "pg_ctl"), "-w", "-D", str(self.folder / "data")]
        done = subprocess.run(
            [*command, *arguments], user=self.user, cwd=self.folder, check=False,
            stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        if done.returncode:
            raise SetupError(f"PostgreSQL's pg_ctl {arguments[0]} failed; see {self.folder}.")

    def start(self) -> None:
        """Start it, or start it again: what it had promised is there."""
        options = f"-p {self.port} -k {self.folder} -c listen_addresses={HOST}"
        self._control("start", "-l", str(self.folder / "log"), "-o", options)

    def stop(self) -> None:
        """Stop it in order; whoever is at work is put out."""
        self._control("stop", "-m", "fast")

    def crash(self) -> None:
        """End it at once, as when the power fails."""
        self._control("stop", "-m", "immediate")


@contextmanager
def struck_database(folder: Path) -> Iterator[StruckDatabase]:
    """Yield a server that runs; it is stopped at the end."""
    programs, user = installed(), account()
    if programs is None:
        raise SetupError("a database to crash needs the programs of PostgreSQL: install them.")
    place = folder / "postgres"
    place.mkdir()
    folder.chmod(0o711)
    if user:
        shutil.chown(place, user)
    subprocess.run(
        [programs / "initdb", "-D", place / "data", "-U", "postgres", "-A", "trust", "-E", "UTF8"],
        user=user, cwd=place, check=True, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
    )  # fmt: skip
    one = StruckDatabase(programs, place, free_port(), user)
    one.start()
    try:
        yield one
    finally:
        one.crash()


def _say(what: str, begun: float) -> None:
    print(f"{time.monotonic() - begun:5.1f} s  {what}", flush=True)


def _blows(one: Fleet, database: StruckDatabase | None, seconds: float, begun: float) -> None:
    pause = seconds / 5
    time.sleep(pause)
    port = next(iter(one.servers))
    os.kill(one.servers[port].pid, signal.SIGKILL)
    _say("a server killed", begun)
    time.sleep(pause)
    one.workers[0].kill()
    _say("a worker killed", begun)
    one.raise_up()
    time.sleep(pause)
    with psycopg.connect(_libpq(one.url), autocommit=True) as connection:
        ended = connection.execute(
            "SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity"
            " WHERE pid <> pg_backend_pid() AND datname = current_database()"
        ).fetchone()
    _say(f"{ended[0] if ended else 0} connections of the database ended", begun)
    time.sleep(pause)
    if database:
        database.crash()
        _say("the database crashed", begun)
        time.sleep(1)
        database.start()
        _say("the database started", begun)
    time.sleep(2)
    _say(f"{one.raise_up()} of the processes had ended by it, and are started again", begun)


def _libpq(url: str) -> str:
    return url.replace("+psycopg", "")


def strike(one: Fleet, database: StruckDatabase | None, seconds: float) -> list[str]:
    """Strike a fleet at work; return what was lost, doubled or failed."""
    begun = time.monotonic()
    print("\nstrikes:", flush=True)
    striking = threading.Thread(target=_blows, args=[one, database, seconds, begun])
    striking.start()
    seen = run_clients(list(one.servers), one.known, CLIENTS, seconds, seed=7_000_000)
    striking.join()
    took = [each for kind in seen.took.values() for each in kind]
    print(
        f"{len(took)} requests answered, 99 % within {at_most(took, 0.99):.0f} ms with all tries;"
        f" sent again: {dict(seen.tries)}; given up: {dict(seen.failed)}",
        flush=True,
    )
    lost = [f"given up: {kind}" for kind in seen.failed.elements()]
    return [*lost, *seen.odd, *count(one, seen)]


def count(one: Fleet, seen: Seen) -> list[str]:
    """Return how the database differs from what the clients were told."""
    _wait_for_mails(one)
    with psycopg.connect(_libpq(one.url)) as connection:
        orders = dict(_all(connection, "SELECT number, state FROM hood_order"))
        buyers = _all(
            connection,
            "SELECT b.name, count(*) FROM hood_order o JOIN buyer b ON b.id = o.buyer_id"
            " WHERE b.name LIKE 'Ottoline load-7%' GROUP BY 1",
        )
        mails = _all(
            connection,
            "SELECT o.number, d.state, count(*) FROM delivery d"
            " JOIN hood_order o ON o.id = d.order_id GROUP BY 1, 2",
        )
    bad = [f"order {n} is lost" for n in seen.orders.values() if n not in orders]
    bad += [f"{name} has {times} orders" for name, times in buyers if times != 1]
    if len(buyers) != len(seen.orders):
        bad.append(f"{len(buyers)} orders are kept, and {len(seen.orders)} were answered")
    bad += [
        f"order {n} is {orders.get(n)}, not {s}"
        for n, s in seen.states.items()
        if orders.get(n) != s
    ]
    sent = {number: (state, times) for number, state, times in mails if number in seen.mails}
    bad += [f"mail of {n}: {sent.get(n)}" for n in seen.mails if sent.get(n) != (_WRITTEN, 1)]
    print(
        f"counted: {len(seen.orders)} orders, {len(seen.states)} states, {len(seen.mails)} mails;"
        f" wrong: {len(bad)}",
        flush=True,
    )
    return bad


_WRITTEN = "written to a file"


def _all(connection: psycopg.Connection[Any], query: str) -> list[tuple[Any, ...]]:
    return connection.execute(query.encode()).fetchall()


def _wait_for_mails(one: Fleet) -> None:
    end = time.monotonic() + MAIL_PATIENCE
    with psycopg.connect(_libpq(one.url), autocommit=True) as connection:
        while time.monotonic() < end:
            waiting = _all(connection, "SELECT count(*) FROM delivery WHERE state = 'waiting'")
            if waiting[0][0] == 0:
                return
            time.sleep(1)
