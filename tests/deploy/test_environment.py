# ruff: noqa: S603 - the programs started here are our own

import os
import subprocess
import sys
from pathlib import Path

import pytest

from deploy import environment
from deploy.environment import Environment, SetupError, ensure, explain


@pytest.fixture
def made(tmp_path: Path) -> Environment:
    """An environment as it stands after a start that went to its end."""
    lock = tmp_path / "requirements.txt"
    lock.write_text("alembic==1.20.1\n", encoding="ascii")
    it = Environment(tmp_path / ".venv", lock)
    it.scripts.mkdir(parents=True)
    it.packages.mkdir(parents=True)
    it.python.symlink_to(sys.executable)
    (it.home / environment.STAMP).write_text(it.wanted_stamp(), encoding="ascii")
    return it


@pytest.fixture
def installs(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """The commands that would have been run, with none of them run."""
    run: list[list[str]] = []

    def logged(it: Environment, command: list[str]) -> None:
        it.scripts.mkdir(parents=True, exist_ok=True)
        it.packages.mkdir(parents=True, exist_ok=True)
        if not it.python.exists():
            it.python.symlink_to(sys.executable)
        run.append(command)

    monkeypatch.setattr(environment, "_logged", logged)
    return run


def test_a_finished_environment_is_used_as_it_is(
    made: Environment, installs: list[list[str]]
) -> None:
    ensure(made)
    assert installs == []


def test_a_changed_lock_makes_the_environment_anew(
    made: Environment, installs: list[list[str]]
) -> None:
    leftover = made.packages / "dropped.py"
    leftover.touch()
    made.lock.write_text("alembic==1.20.2\n", encoding="ascii")
    assert not made.is_ready()
    ensure(made)
    assert installs[0][1:] == ["-m", "venv", str(made.home)]
    assert "--require-hashes" in installs[1]
    assert installs[1][-2:] == ["-r", str(made.lock)]
    assert not leftover.exists()
    assert made.is_ready()


def test_another_python_makes_the_environment_anew(
    made: Environment, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "version", "3.99.0 (of another day)")
    assert not made.is_ready()


def test_a_moved_checkout_makes_the_environment_anew(made: Environment, tmp_path: Path) -> None:
    moved = Environment(made.home.rename(tmp_path / "moved"), made.lock)
    assert not moved.is_ready()


def test_an_environment_whose_python_is_gone_is_not_ready(made: Environment) -> None:
    made.python.unlink()
    made.python.symlink_to(made.home / "removed")
    assert not made.is_ready()


def test_an_install_cut_short_leaves_no_stamp(
    made: Environment, installs: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    def cut(_it: Environment, lock: Path) -> None:
        raise SetupError(f"no network for {lock.name}")

    monkeypatch.setattr(environment, "install", cut)
    made.lock.write_text("other\n", encoding="ascii")
    with pytest.raises(SetupError, match="no network"):
        ensure(made)
    assert not (made.home / environment.STAMP).exists()
    assert len(installs) == 1
    assert not made.is_ready()


def test_a_stamp_of_rubbish_is_no_stamp(made: Environment) -> None:
    (made.home / environment.STAMP).write_bytes(b"\xff\x00")
    assert not made.is_ready()


def test_a_python_without_venv_is_told_the_package(
    made: Environment, installs: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    (made.home / environment.STAMP).unlink()
    monkeypatch.setattr(environment, "lacks_venv", lambda: True)
    with pytest.raises(SetupError) as caught:
        ensure(made)
    major, minor = sys.version_info[:2]
    assert f"sudo apt install python{major}.{minor}-venv" in str(caught.value)
    assert "\n" not in str(caught.value)
    assert installs == []


@pytest.mark.skipif(os.name == "nt", reason="the command there is another file")
def test_the_command_runs_the_checkout_from_any_folder(
    made: Environment, installs: list[list[str]], tmp_path: Path
) -> None:
    made.lock.write_text("other\n", encoding="ascii")
    ensure(made)
    assert installs
    pth = (made.packages / "hoodwright.pth").read_text(encoding="ascii").strip()
    assert (made.packages / pth).resolve() == environment.ROOT
    shown = tmp_path / "shown"
    made.python.unlink()
    made.python.write_text(f'#!/bin/sh\necho "$@" > "{shown}"\n', encoding="utf-8")
    made.python.chmod(0o755)
    link = tmp_path / "a link"
    link.symlink_to(made.scripts / "hoodwright")
    subprocess.run([link, "serve", "--demo"], cwd=tmp_path, check=True)
    assert shown.read_text(encoding="utf-8") == "-P -m service.command serve --demo\n"


@pytest.mark.parametrize(
    ("account", "sentence"),
    [
        (
            "WARNING: Retrying (Retry(total=0)) after connection broken\nERROR: No matching",
            "could not reach the network",
        ),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES from the file", "not the one"),
        ("Collecting x\nERROR: No space left on device", "No space left on device"),
        ("", "no reason given"),
    ],
)
def test_a_failed_install_is_told_in_one_line(account: str, sentence: str) -> None:
    told = explain(account, Path("install.log"))
    assert sentence in told
    assert told.endswith("See install.log.")
    assert "\n" not in told


def test_a_failed_command_is_told_from_its_log(made: Environment) -> None:
    complain = "import sys; print('the disk is full', file=sys.stderr); sys.exit(3)"
    with pytest.raises(SetupError, match="the disk is full"):
        environment._logged(made, [sys.executable, "-c", complain])  # noqa: SLF001 - its own test
