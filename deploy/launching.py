"""What `deploy/start.py` does: environment, database, server, browser."""

import argparse
import errno
import os
import signal
import socket
import subprocess
import sys
import threading
import time
import webbrowser
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import FrameType

from deploy.environment import APPLICATION, ROOT, SetupError, ensure

HOST = "127.0.0.1"
LAST_PORT = 65535
WAY_IN = "way in: "  # how the server's line begins that tells how to come in
PATIENCE = 10  # seconds the server gets to finish what it is answering
INTERRUPTED = 130  # what a shell calls a program ended by Ctrl-C


def parse(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(
        prog="start.py", description="Start Hoodwright on this computer; Ctrl-C stops it."
    )
    parser.add_argument("--port", type=port, default=8000, help="default: 8000")
    parser.add_argument(
        "--data", type=data_folder, default=ROOT / "data", help="the data folder (default: data)"
    )
    parser.add_argument("--demo", action="store_true", help="fill an empty shop with the demo")
    parser.add_argument("--no-browser", action="store_true", help="open no browser")
    return parser.parse_args(arguments)


def port(text: str) -> int:
    """A port number from the command line."""
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= LAST_PORT:
        raise argparse.ArgumentTypeError(f"{text!r} is no port: give a number from 1 to 65535")
    return int(text)


def data_folder(text: str) -> Path:
    """A folder from the command line, fixed before the server changes its working folder."""
    return Path(text).expanduser().absolute()


def server_command(options: argparse.Namespace) -> list[str]:
    """The command that migrates, loads the demo and serves."""
    command = [str(APPLICATION.python), "-m", "service.command", "serve", "--host", HOST]
    command += ["--port", str(options.port), "--data", str(options.data), "--quiet"]
    return [*command, "--demo"] if options.demo else command


def require_free_port(number: int) -> None:
    """Say so before any work when the port cannot be had."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        if os.name == "posix":
            # As the server does, or the port would seem taken for a minute after each stop.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, number))
        except OSError as error:
            if error.errno == errno.EACCES:
                reason = f"this account may not use port {number}"
            else:
                reason = f"port {number} is taken, perhaps by Hoodwright itself"
            raise SetupError(f"{reason}: choose another, as in --port {other(number)}.") from error


def other(number: int) -> int:
    """A port to suggest in place of the one that cannot be had."""
    unprivileged = 1024
    return number + 1 if unprivileged <= number < LAST_PORT else 8001


def require_folder(folder: Path) -> None:
    """Make the data folder, or say why not."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = error.strerror or "no reason given"
        raise SetupError(f"the data folder {folder} cannot be made: {reason}.") from error


def has_display(platform: str, variables: Mapping[str, str]) -> bool:
    """Whether a browser would be seen by the person who started us."""
    if platform in {"win32", "darwin"}:
        return True
    return bool(variables.get("DISPLAY") or variables.get("WAYLAND_DISPLAY"))


class Heard:
    """What the server says: passed on line by line, and the way in remembered."""

    def __init__(self, server: subprocess.Popen[bytes]) -> None:
        """Listen in a thread of its own, until the server says no more."""
        self._told = threading.Event()
        self._way_in = ""
        if server.stdout is None:
            return
        self._lines = server.stdout
        threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self) -> None:
        for line in self._lines:
            text = line.decode("utf-8", "replace").rstrip("\r\n")
            if text.startswith(WAY_IN):
                self._way_in = text.removeprefix(WAY_IN)
                self._told.set()
            else:
                print(text, flush=True)
        self._told.set()

    def way_in(self) -> str:
        """The address by which to come in; it was said before the port was opened."""
        self._told.wait(1)
        return self._way_in


def start_server(command: Sequence[str]) -> subprocess.Popen[bytes]:
    """Start the server deaf to Ctrl-C until it has its own answer to it.

    The terminal sends Ctrl-C to both of us. One that comes while the server still loads would end
    it in a traceback; so it starts ignoring it, and stop_server asks it to end in another way.
    """
    if os.name != "posix":
        return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE)
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE)
    finally:
        signal.signal(signal.SIGINT, before)


def stop_server(server: subprocess.Popen[bytes]) -> None:
    """End the server: by asking, and if it does not listen, by force."""
    try:
        if os.name == "posix":
            server.terminate()  # on Windows this is force; there Ctrl-C alone has asked it
        server.wait(PATIENCE)
    except (subprocess.TimeoutExpired, KeyboardInterrupt):
        server.kill()
        server.wait()


def wait_until_answering(server: subprocess.Popen[bytes], number: int) -> bool:
    """Wait for the server's port to open; False when the server ended instead."""
    while server.poll() is None:
        try:
            socket.create_connection((HOST, number), timeout=1).close()
        except OSError:
            time.sleep(0.05)
        else:
            return True
    return False


def announce(address: str, way_in: str = "", *, browse: bool) -> None:
    """Print the address and the way in, and open it where there is a display."""
    print(f"Hoodwright is at {address} - Ctrl-C stops it.", flush=True)
    if way_in and way_in != address:
        print(f"Come in by this link; it works once, within an hour:\n{way_in}", flush=True)
    if browse and has_display(sys.platform, os.environ):
        # Aside, for some browsers keep the caller waiting until they are closed.
        threading.Thread(target=webbrowser.open, args=(way_in or address,), daemon=True).start()


def serve(options: argparse.Namespace) -> int:
    """Run the server until it ends or Ctrl-C (or a polite kill) stops it."""
    signal.signal(signal.SIGTERM, _interrupt)
    server = start_server(server_command(options))
    heard = Heard(server)
    try:
        if wait_until_answering(server, options.port):
            address = f"http://{HOST}:{options.port}/"
            announce(address, heard.way_in(), browse=not options.no_browser)
        return server.wait()
    except KeyboardInterrupt:
        stop_server(server)
        print("\nStopped.")
        return 0


def _interrupt(_number: int, _frame: FrameType | None) -> None:
    raise KeyboardInterrupt


def main(arguments: Sequence[str] | None = None) -> int:
    """Start Hoodwright; the exit code is 0 after Ctrl-C."""
    options = parse(arguments)
    try:
        require_free_port(options.port)
        require_folder(options.data)
        ensure(APPLICATION)
        return serve(options)
    except SetupError as error:
        print(f"start: {error}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nstart: stopped before the server ran.", file=sys.stderr)
        return INTERRUPTED
