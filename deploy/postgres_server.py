"""A PostgreSQL server of our own, on a private socket, for as long as it is needed."""

import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

import psycopg

from deploy.environment import SetupError

PATIENCE = 60  # seconds a loaded machine may take to start the server


@contextmanager
def running(programs: Path) -> Iterator[str]:
    """Start a server from the folder of its programs; give its address; stop it at the end."""
    with tempfile.TemporaryDirectory(prefix="hoodwright-", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        user = account()
        if user is not None:
            programs = _readable(programs, folder)
            shutil.chown(folder, user)
        with (folder / "log").open("w+b") as log:
            server = _start(programs, folder, user, log)
            try:
                url = f"postgresql://postgres@/postgres?host={folder}"
                _wait(server, url, folder / "log")
                yield url
            finally:
                _stop(server)


def account() -> str | None:
    """The account to run the server as: PostgreSQL refuses root."""
    if sys.platform == "win32" or os.geteuid() != 0:
        return None
    import pwd  # noqa: PLC0415 - not on Windows

    names = {entry.pw_name for entry in pwd.getpwall()}
    return next((name for name in ("postgres", "nobody") if name in names), None)


def _readable(programs: Path, folder: Path) -> Path:
    """Programs where that account can read them: a wheel's may lie in root's own folder.

    The wheel's libraries are found by their place beside it, so both are copied.
    """
    package = programs.parent.parent
    libraries = package.with_name(f"{package.name}.libs")
    if not libraries.exists():
        return programs
    for part in (package, libraries):
        shutil.copytree(part, folder / part.name, symlinks=True)
    return folder / package.name / programs.relative_to(package)


def _start(
    programs: Path, folder: Path, user: str | None, log: IO[bytes]
) -> subprocess.Popen[bytes]:
    data = folder / "data"
    # Its own files are thrown away at the end: nothing needs to reach the disk.
    choices = ("-U", "postgres", "-A", "trust", "--no-sync", "--encoding=UTF8", "--locale=C")
    made = subprocess.run(
        [programs / "initdb", "-D", data, *choices],
        user=user,
        cwd=folder,
        stdin=subprocess.DEVNULL,
        stdout=log,
        stderr=log,
        check=False,
    )
    if made.returncode:
        raise SetupError(f"PostgreSQL's initdb failed: {last_line(folder / 'log')}")
    settings = ("listen_addresses=", "fsync=off", "full_page_writes=off")
    options = [part for setting in settings for part in ("-c", setting)]
    return subprocess.Popen(
        [programs / "postgres", "-D", data, "-k", folder, *options],
        user=user,
        cwd=folder,
        stdin=subprocess.DEVNULL,
        stdout=log,
        stderr=log,
        # Its own group: a Ctrl-C must not stop it under the tests that end on it.
        start_new_session=True,
    )


def _wait(server: subprocess.Popen[bytes], url: str, log: Path) -> None:
    end = time.monotonic() + PATIENCE
    while server.poll() is None and time.monotonic() < end:
        try:
            psycopg.connect(url, connect_timeout=3).close()
        except psycopg.OperationalError:
            time.sleep(0.1)
        else:
            return
    raise SetupError(f"the PostgreSQL test server did not start: {last_line(log)}")


def _stop(server: subprocess.Popen[bytes]) -> None:
    server.terminate()
    try:
        server.wait(PATIENCE)
    except subprocess.TimeoutExpired:
        server.kill()
        server.wait()


def last_line(path: Path) -> str:
    """The last line of a log, for a message of one line."""
    lines = path.read_text(encoding="utf-8", errors="replace").strip().splitlines()
    return lines[-1] if lines else "it said nothing"
