"""The console command: it serves, it stops when told, it says what is wrong."""

import os
import re
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
from collections.abc import Generator
from contextlib import closing, contextmanager
from pathlib import Path
from time import monotonic, sleep
from urllib.error import URLError
from urllib.request import HTTPCookieProcessor, Request, build_opener, urlopen

import pytest

from service.console import main, port_taken
from service.db import open_database
from service.orders import utc_now
from service.schema import upgrade
from tests.entering import KNOWN, let_in

ROOT = Path(__file__).parents[2]
READY = "Hoodwright is at http://127.0.0.1:{port}/ (Ctrl-C stops it)."
SECONDS = 90


def free_port() -> int:
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    return port


def environment(**more: str) -> dict[str, str]:
    clean = {name: text for name, text in os.environ.items() if not name.startswith("HOODWRIGHT_")}
    return {**clean, **more, "PYTHONPATH": str(ROOT)}


def command(*arguments: str | Path) -> list[str]:
    return [sys.executable, "-m", "service.command", "serve", *map(str, arguments)]


@contextmanager
def served(
    folder: Path, *arguments: str, **variables: str
) -> Generator[tuple[subprocess.Popen[str], int]]:
    """Serve in another process until the block ends; killed if it does not stop by itself."""
    port = free_port()
    url = variables.get("HOODWRIGHT_DATABASE_URL")
    if not url:
        folder.mkdir(exist_ok=True)
        url = f"sqlite:///{folder / 'hoodwright.sqlite'}"
    if variables.get("HOODWRIGHT_MIGRATE") != "no":
        come_in(url)
    with subprocess.Popen(  # noqa: S603 - our own command
        command("--port", str(port), "--data", folder, *arguments),
        env=environment(**variables),
        cwd=folder.parent,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        try:
            fetched(port, "/healthz", process)
            yield process, port
        finally:
            process.kill()


def come_in(url: str) -> None:
    """Put a key into a database that is to be served."""
    database = open_database(url)
    upgrade(database.engine)
    let_in(database, utc_now())
    database.close()


def fetched(port: int, path: str, process: subprocess.Popen[str]) -> str:
    """Return what an address answers, as soon as the server does."""
    begun = monotonic()
    while monotonic() - begun < SECONDS and process.poll() is None:
        try:
            asked = Request(f"http://127.0.0.1:{port}{path}", headers=KNOWN)
            with urlopen(asked, timeout=5) as answer:  # noqa: S310 - our own server
                text: str = answer.read().decode()
                return text
        except URLError:
            sleep(0.05)
    process.kill()  # or its pipes would stay open, and the next line wait for ever
    pytest.fail(f"no answer: {process.communicate()}")


def refused(capsys: pytest.CaptureFixture[str], *arguments: str | Path, code: int = 1) -> str:
    """Run the command here, which must end by itself with an exit code; return what it said."""
    assert main(["serve", "--port", str(free_port()), *map(str, arguments)]) == code
    out, err = capsys.readouterr()
    assert out == ""
    return err


def stopped(process: subprocess.Popen[str], sign: signal.Signals) -> tuple[str, str, float]:
    """Send a signal; return what was said and how long the end took."""
    begun = monotonic()
    process.send_signal(sign)
    out, err = process.communicate(timeout=SECONDS)
    return out, err, monotonic() - begun


def test_it_serves_pages_and_api_until_it_is_interrupted(tmp_path: Path) -> None:
    with served(tmp_path / "data") as (process, port):
        assert fetched(port, "/api/v1/orders", process) == '{"orders":[],"next":null}'
        assert "<html" in fetched(port, "/", process)
        out, err, seconds = stopped(process, signal.SIGINT)

    assert process.returncode == 0
    assert seconds < 5
    assert READY.format(port=port) in out
    assert "Stopped." in out
    assert err == ""


def test_it_stops_when_the_system_tells_it_to(tmp_path: Path) -> None:
    other = tmp_path / "other.sqlite"
    with served(tmp_path / "data", HOODWRIGHT_DATABASE_URL=f"sqlite:///{other}") as (process, _):
        _, err, seconds = stopped(process, signal.SIGTERM)

    assert seconds < 5
    assert "Traceback" not in err
    assert other.exists()  # the environment may name another database
    # Nothing but the daily copy of that database is in the folder of the embedded one.
    assert not list((tmp_path / "data").glob("*.sqlite"))


def test_the_demo_shop_fills_an_empty_database_and_no_other(tmp_path: Path) -> None:
    with served(tmp_path / "data", "--demo") as (process, port):
        first = fetched(port, "/api/v1/orders", process)
        out, _, _ = stopped(process, signal.SIGINT)
    assert "The demo shop is ready." in out
    assert "Tilda Fenwright" in first

    with served(tmp_path / "data", "--demo") as (process, port):
        second = fetched(port, "/api/v1/orders", process)
        out, _, _ = stopped(process, signal.SIGINT)
    assert "The database is in use: no demo added." in out
    assert second == first


def told(capsys: pytest.CaptureFixture[str], folder: Path, *arguments: str) -> str:
    """Ask for a one-time link; return what was said."""
    assert main(["sign-in", "--data", str(folder), *arguments]) == 0
    return capsys.readouterr().out


def test_a_link_to_come_in_is_had_on_the_machine(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    link = r"http://127.0.0.1:8001/sign-in\?code=[A-Za-z0-9_-]{22}\n"
    assert re.search(link, told(capsys, tmp_path, "--port", "8001"))
    come_in(f"sqlite:///{tmp_path / 'hoodwright.sqlite'}")
    said = told(capsys, tmp_path, "--name", "TESS tamber")
    assert "For Tess Tamber." in said
    with closing(sqlite3.connect(tmp_path / "hoodwright.sqlite")) as connection:
        rows = connection.execute("SELECT kind, about, known_at FROM door_event").fetchall()
    assert rows == [("link made", "on the machine", None)]  # whose account it is will be told
    monkeypatch.setenv("HOODWRIGHT_ADDRESS", "https://hoods.example/")
    assert "https://hoods.example/sign-in?code=" in told(capsys, tmp_path)
    assert main(["sign-in", "--data", str(tmp_path), "--name", "Nobody"]) == 1
    assert "no open account" in capsys.readouterr().err


def test_it_refuses_to_be_reached_by_others_without_a_door(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    said = refused(capsys, "--data", tmp_path, "--host", "0.0.0.0")  # noqa: S104 - refused
    assert "does not listen on 0.0.0.0, which other machines can reach" in said
    for part in ("password", "HOODWRIGHT_TLS_PROXY", "HOODWRIGHT_ADDRESS"):
        assert part in said


def test_the_first_start_prints_the_way_in_and_the_log_tells_nothing(tmp_path: Path) -> None:
    port, folder = free_port(), tmp_path / "data"
    with subprocess.Popen(  # noqa: S603 - our own command
        command("--port", str(port), "--data", folder, "--demo"),
        env=environment() | {"PYTHONUNBUFFERED": "1"},
        stdout=subprocess.PIPE,
        text=True,
    ) as process:
        try:
            assert process.stdout
            said = "".join(process.stdout.readline() for _ in range(3))
            link = said.rpartition(": ")[2].strip()
            until = monotonic() + SECONDS
            while not port_taken("127.0.0.1", port) and monotonic() < until:
                sleep(0.05)
            opener = build_opener(HTTPCookieProcessor())
            with opener.open(link, timeout=30) as answer:
                assert "Odile Marrow" in answer.read().decode()
                assert answer.url == f"http://127.0.0.1:{port}/"
        finally:
            process.terminate()
            process.wait(SECONDS)
    log = (folder / "log" / "requests.jsonl").read_text()
    assert '"route": "/sign-in"' in log
    assert link.rpartition("=")[2] not in log


def test_a_port_that_is_taken_is_said_to_be(tmp_path: Path) -> None:
    with closing(socket.socket()) as holder:
        holder.bind(("127.0.0.1", 0))
        holder.listen()
        port = str(holder.getsockname()[1])
        done = subprocess.run(  # noqa: S603 - our own command
            command("--port", port, "--data", tmp_path / "data"),
            env=environment(),
            capture_output=True,
            text=True,
            timeout=SECONDS,
            check=False,
        )

    assert done.returncode == 1
    assert done.stderr == f"Port {port} is in use. Choose another with --port.\n"
    assert not (tmp_path / "data").exists()


def test_a_second_server_of_one_database_is_told_where_the_first_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with served(tmp_path / "data") as (process, port):
        said = refused(capsys, "--data", tmp_path / "data")
        assert f"http://127.0.0.1:{port}/ (process {process.pid})" in said
        assert "stop that one first" in said
        assert fetched(port, "/api/v1/orders", process)
        process.kill()  # by force: nothing is left that would keep the next one out
        process.wait()
    with served(tmp_path / "data") as (process, port):
        assert fetched(port, "/api/v1/orders", process)


def test_a_folder_that_is_a_file_is_said_to_be_no_place_for_data(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "file"
    path.write_text("I am not a folder.")

    assert "Choose another --data" in refused(capsys, "--data", path)


def test_a_file_that_is_no_database_is_left_alone(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "hoodwright.sqlite"
    path.write_text("This is a letter and no database. " * 20)

    assert "not a database" in refused(capsys, "--data", tmp_path, code=3)
    assert path.read_text().startswith("This is a letter")


def test_a_database_of_a_newer_version_is_left_alone(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    with closing(sqlite3.connect(tmp_path / "hoodwright.sqlite")) as connection:
        connection.execute("CREATE TABLE alembic_version (version_num VARCHAR(32))")
        connection.execute("INSERT INTO alembic_version VALUES ('9999')")
        connection.commit()

    said = refused(capsys, "--data", tmp_path, code=5)
    assert "at 9999" in said
    assert "Start the newer Hoodwright" in said


def test_a_database_server_that_does_not_answer_is_said_not_to(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    url = f"postgresql://nobody@127.0.0.1:{free_port()}/nothing"
    monkeypatch.setenv("HOODWRIGHT_DATABASE_URL", url)

    assert "HOODWRIGHT_DATABASE_URL" in refused(capsys)


@pytest.mark.parametrize("port", ["0", "65536", "-1", "http", "", "\uff18\uff10"])
def test_a_port_that_is_none_is_refused(capsys: pytest.CaptureFixture[str], port: str) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["serve", "--port", port])

    assert ended.value.code == 2
    assert "argument --port" in capsys.readouterr().err


def readable(folder: Path) -> list[str]:
    """Return the files that other accounts of the machine may read or write."""
    return [one.name for one in folder.rglob("*") if one.is_file() and one.stat().st_mode & 0o077]


@pytest.mark.skipif(os.name != "posix", reason="accounts are kept apart in another way")
def test_no_other_account_of_the_machine_reads_the_shops_files(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    (folder / "backups").mkdir(parents=True, mode=0o755)
    with served(folder, "--demo") as (process, port):  # made by an earlier version: come_in
        fetched(port, "/orders", process)
        begun = monotonic()
        while not list((folder / "backups").glob("*.zip")) and monotonic() - begun < SECONDS:
            sleep(0.05)
        assert {one.name for one in folder.rglob("*")} >= {"hoodwright.sqlite", "requests.jsonl"}
        assert readable(folder) == []
        closed = [folder / name for name in ("backups", "log")]
        assert [one.name for one in closed if one.stat().st_mode & 0o077] == []
        stopped(process, signal.SIGINT)

    code = "import sys; from service.command import main; sys.exit(main(sys.argv[1:]))"
    for name, more in (("export", ["--to", "all.zip"]), ("backup", ["--to", "copy.zip"])):
        subprocess.run(  # noqa: S603 - our own command
            [sys.executable, "-c", code, name, "--data", str(folder), *more],
            env=environment(), cwd=tmp_path, check=True, capture_output=True,
        )  # fmt: skip
    assert readable(tmp_path) == []


ALONE = ("unshare", "--user", "--map-root-user", "--pid", "--fork", "--kill-child")
"""Starts a program as the first process of a place of its own, as containers do."""


def may_be_first() -> bool:
    """Whether this machine has the program, and lets it."""
    found = shutil.which(ALONE[0])
    return bool(found) and subprocess.run([*ALONE, "true"], check=False).returncode == 0  # noqa: S603 - the system's


def child_of(process: subprocess.Popen[str]) -> int:
    """Return the process that another one has started, once it waits for the sign to stop."""
    begun = monotonic()
    while monotonic() - begun < SECONDS and process.poll() is None:
        children = Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text().split()
        if children:
            status = Path(f"/proc/{children[0]}/status").read_text()
            caught = int(status.partition("SigCgt:")[2].split()[0], 16)
            if caught & (1 << (signal.SIGTERM - 1)):
                return int(children[0])
        sleep(0.005)
    process.kill()
    pytest.fail(f"it never waits for the sign to stop: {process.communicate()}")


@pytest.mark.skipif(sys.platform != "linux", reason="containers are Linux's")
def test_the_first_process_of_a_container_hears_the_sign_to_stop_while_it_starts(
    tmp_path: Path,
) -> None:
    if not may_be_first():
        pytest.skip("this machine lets nobody be a first process")
    with subprocess.Popen(  # noqa: S603 - our own command
        [*ALONE, *command("--port", str(free_port()), "--data", tmp_path)],
        env=environment(), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    ) as process:  # fmt: skip
        os.kill(child_of(process), signal.SIGTERM)
        out, err = process.communicate(timeout=SECONDS)
    assert process.returncode == 0
    assert (out, err) == ("", "")  # long before it serves
