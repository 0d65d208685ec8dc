"""The checkout's virtual environments, made from the locked files.

Standard library only: this runs before anything is installed.
"""

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
import sysconfig
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
STAMP = "hoodwright-stamp"
GUARD = "hoodwright-guard"
LOG = "hoodwright-install.log"

# How pip's account of a failed install reads when no package index could be reached.
UNREACHABLE = ("connection", "name resolution", "timed out", "retrying", "proxy")


class SetupError(Exception):
    """Something the reader must mend; its text is the one line to show."""


@dataclass(frozen=True)
class Environment:
    """A virtual environment and the locked file that says what is in it."""

    home: Path
    lock: Path

    @property
    def python(self) -> Path:
        """The environment's interpreter."""
        return self.scripts / ("python.exe" if os.name == "nt" else "python")

    @property
    def scripts(self) -> Path:
        """The folder of the environment's commands."""
        return self._folder("scripts")

    @property
    def packages(self) -> Path:
        """The folder of the environment's packages."""
        return self._folder("purelib")

    def _folder(self, name: str) -> Path:
        base = str(self.home)
        return Path(sysconfig.get_path(name, "venv", {"base": base, "platbase": base}))

    def wanted_stamp(self) -> str:
        """What the stamp must say for the environment to be used as it is.

        The folder counts too: an environment holds its own path and breaks when moved.
        """
        parts = (self.lock.read_bytes(), sys.version.encode(), os.fsencode(self.home))
        return hashlib.sha256(b"\0".join(parts)).hexdigest()

    def is_ready(self) -> bool:
        """Whether the environment was made to the end, by this Python, from this lock."""
        try:
            stamp = (self.home / STAMP).read_text(encoding="ascii")
        except (OSError, ValueError):
            return False
        return stamp == self.wanted_stamp() and self.python.exists()


APPLICATION = Environment(ROOT / ".venv", ROOT / "deploy" / "requirements.txt")
CHECKING = Environment(ROOT / ".env-check", ROOT / "deploy" / "requirements-dev.txt")


def ensure(environment: Environment) -> None:
    """Make the environment unless it stands ready."""
    if environment.is_ready():
        return
    if lacks_venv():
        raise SetupError(missing_venv())
    try:
        environment.home.mkdir(exist_ok=True)
        with _guard(environment.home / GUARD):
            # Another start may have made it while this one waited.
            if not environment.is_ready():
                _make(environment)
    except OSError as error:
        raise SetupError(f"the environment {environment.home} cannot be made: {error}") from error


def lacks_venv() -> bool:
    """Whether this Python came without the parts that make environments, as Debian's may."""
    return any(importlib.util.find_spec(name) is None for name in ("venv", "ensurepip"))


def venv_package() -> str:
    """The Debian and Ubuntu package that brings those parts for this Python."""
    return f"python{sys.version_info.major}.{sys.version_info.minor}-venv"


def missing_venv() -> str:
    """The sentence for a Python without venv or ensurepip."""
    return (
        "this Python cannot make virtual environments: install its venv package"
        f" (Debian, Ubuntu: sudo apt install {venv_package()}) and start again."
    )


def _make(environment: Environment) -> None:
    print(f"Making {environment.home.name}: the first time takes a minute or two ...", flush=True)
    home = environment.home
    for entry in home.iterdir():
        if entry.name == GUARD:
            continue
        if entry.is_dir() and not entry.is_symlink():
            shutil.rmtree(entry)
        else:
            entry.unlink()
    _logged(environment, [sys.executable, "-m", "venv", str(home)])
    install(environment, environment.lock)
    _add_project(environment)
    # Last of all, so that an environment cut short at any point is made anew.
    (home / STAMP).write_text(environment.wanted_stamp(), encoding="ascii")


def install(environment: Environment, lock: Path, *options: str) -> None:
    """Install a locked file into the environment."""
    command = [str(environment.python), "-I", "-m", "pip", "install", "--no-input", "--no-user"]
    # Wheels only: building from source would fetch build tools that no lock pins.
    command += ["--disable-pip-version-check", "--only-binary=:all:", "--require-hashes"]
    _logged(environment, [*command, *options, "-r", str(lock)])


def _logged(environment: Environment, command: Sequence[str]) -> None:
    log = environment.home / LOG
    with log.open("ab") as out:
        code = subprocess.call(command, stdin=subprocess.DEVNULL, stdout=out, stderr=out)
    if code:
        raise SetupError(explain(log.read_text(encoding="utf-8", errors="replace"), log))


def explain(account: str, log: Path) -> str:
    """One sentence on why an install failed, from pip's account of it."""
    lowered = account.lower()
    if "do not match the hashes" in lowered:
        return f"a downloaded package is not the one that was locked; nothing was used. See {log}."
    if any(word in lowered for word in UNREACHABLE):
        return (
            "the first run fetches packages and could not reach the network:"
            f" connect this computer and start again. See {log}."
        )
    lines = account.strip().splitlines() or ["no reason given"]
    return f"the environment could not be made: {lines[-1].strip()} See {log}."


def _add_project(environment: Environment) -> None:
    """Let the environment find the checkout, and give it the `hoodwright` command.

    A .pth file and a two-line script do it rather than an editable install: that would need a
    build tool in the lock and leave its own files in the checkout. The path is relative, so it
    stays plain ASCII wherever the checkout lies (Python 3.11 reads .pth in the locale's encoding).
    -P keeps the folder the command is called from off the path: it may hold a `service` too.
    """
    packages = environment.packages
    relative = os.path.relpath(ROOT, packages)
    (packages / "hoodwright.pth").write_text(relative + "\n", encoding="ascii")
    if os.name == "nt":
        script = environment.scripts / "hoodwright.cmd"
        script.write_text('@"%~dp0python.exe" -P -m service.command %*\n', encoding="ascii")
    else:
        script = environment.scripts / "hoodwright"
        # The shell finds the interpreter beside the script: a "#!" line holds no path with spaces.
        line = 'exec "$(dirname "$(readlink -f "$0")")/python" -P -m service.command "$@"'
        script.write_text(f"#!/bin/sh\n{line}\n", encoding="ascii")
        script.chmod(0o755)


@contextmanager
def _guard(path: Path) -> Iterator[None]:
    """Keep two runs from making one environment at once; the system frees it if a run dies."""
    with path.open("ab") as handle:
        if sys.platform == "win32":
            import msvcrt  # noqa: PLC0415 - only there

            msvcrt.locking(handle.fileno(), msvcrt.LK_LOCK, 1)
        else:
            import fcntl  # noqa: PLC0415 - not on Windows

            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
