# ruff: noqa: S603 - the programs started here are our own

import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from deploy import launching
from deploy.environment import ROOT, SetupError

# A server like ours in what matters here: it listens, and ends when it is asked to.
LISTEN = """
import signal, socket, sys
signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
print("The shop is ready.", flush=True)
print("way in: " + sys.argv[2], flush=True)
with socket.create_server(("127.0.0.1", int(sys.argv[1]))) as server:
    while True:
        server.accept()[0].close()
"""


@pytest.fixture
def taken() -> Iterator[int]:
    with socket.create_server((launching.HOST, 0)) as server:
        yield server.getsockname()[1]


@pytest.fixture
def free() -> int:
    with socket.create_server((launching.HOST, 0)) as server:
        port: int = server.getsockname()[1]
    return port


def test_the_defaults_are_the_local_shop() -> None:
    options = launching.parse([])
    assert (options.port, options.data, options.demo) == (8000, ROOT / "data", False)
    assert launching.server_command(options)[1:] == [
        *("-m", "service.command", "serve", "--host", "127.0.0.1"),
        *("--port", "8000", "--data", str(ROOT / "data"), "--quiet"),
    ]


def test_a_data_folder_is_meant_from_where_one_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    options = launching.parse(["--data", "shop", "--demo", "--port", "9000"])
    command = launching.server_command(options)
    folder = str(tmp_path / "shop")
    assert command[-6:] == ["--port", "9000", "--data", folder, "--quiet", "--demo"]


@pytest.mark.parametrize("text", ["0", "65536", "-1", "http", "", "²"])
def test_what_is_no_port_is_refused(text: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        launching.parse([f"--port={text}"])
    assert "give a number from 1 to 65535" in capsys.readouterr().err


def test_a_taken_port_is_told_with_another_to_try(
    taken: int, capsys: pytest.CaptureFixture[str]
) -> None:
    assert launching.main(["--port", str(taken)]) == 1
    told = capsys.readouterr().err
    assert told.startswith(f"start: port {taken} is taken")
    assert f"--port {launching.other(taken)}." in told
    assert told.count("\n") == 1


def test_a_free_port_is_accepted(free: int) -> None:
    launching.require_free_port(free)


@pytest.mark.parametrize(("number", "suggested"), [(8000, 8001), (80, 8001), (65535, 8001)])
def test_the_suggested_port_is_one_that_anybody_may_use(number: int, suggested: int) -> None:
    assert launching.other(number) == suggested


def test_a_data_folder_that_cannot_be_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(SetupError, match=r"the data folder .* cannot be made: Not a directory"):
        launching.require_folder(tmp_path / "file" / "data")


@pytest.mark.parametrize(
    ("platform", "variables", "seen"),
    [
        ("linux", {}, False),
        ("linux", {"DISPLAY": ""}, False),
        ("linux", {"DISPLAY": ":0"}, True),
        ("linux", {"WAYLAND_DISPLAY": "wayland-0"}, True),
        ("darwin", {}, True),
        ("win32", {}, True),
    ],
)
def test_a_browser_opens_only_where_it_is_seen(
    *, platform: str, variables: dict[str, str], seen: bool
) -> None:
    assert launching.has_display(platform, variables) is seen


@pytest.mark.parametrize("browse", [True, False])
def test_the_way_in_is_printed_and_opened(
    *, browse: bool, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    opened: list[str] = []
    monkeypatch.setattr("webbrowser.open", opened.append)
    monkeypatch.setenv("DISPLAY", ":0")
    address, link = "http://127.0.0.1:8000/", "http://127.0.0.1:8000/sign-in?code=x"
    for way in ("", address, link):
        opened.clear()
        launching.announce(address, way, browse=browse)
        told = capsys.readouterr().out
        assert address in told
        assert (link in told) is (way == link)
        assert opened == ([way or address] if browse else [])


def test_a_server_that_ends_at_once_is_not_waited_for(free: int) -> None:
    with launching.start_server([sys.executable, "-c", "raise SystemExit(7)"]) as server:
        assert not launching.wait_until_answering(server, free)
        assert server.wait() == 7


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C is sent otherwise there")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
@pytest.mark.parametrize("code", ["", "sign-in?code=x"])
def test_ctrl_c_stops_start_and_server(free: int, number: signal.Signals, code: str) -> None:
    address = f"http://127.0.0.1:{free}/"
    way = address + code
    program = (
        "import sys; from deploy import launching; "
        "launching.require_folder = launching.ensure = lambda _: None; "
        f"command = [sys.executable, '-c', {LISTEN!r}, '{free}', '{way}']; "
        "launching.server_command = lambda _: command; "
        f"sys.exit(launching.main(['--port', '{free}', '--no-browser']))"
    )
    with subprocess.Popen(
        [sys.executable, "-c", program],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        start_new_session=True,
    ) as start:
        assert start.stdout is not None
        assert start.stdout.readline() == "The shop is ready.\n"
        assert start.stdout.readline() == (
            f"Hoodwright is at http://127.0.0.1:{free}/ - Ctrl-C stops it.\n"
        )
        if way != address:
            assert "it works once" in start.stdout.readline()
            assert start.stdout.readline() == f"{way}\n"
        # To the whole group, as a terminal sends it.
        os.killpg(start.pid, number)
        assert start.stdout.read() == "\nStopped.\n"
        assert start.wait(20) == 0
    launching.require_free_port(free)
