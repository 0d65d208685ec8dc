# ruff: noqa: S603 - the programs started here are our own

import os
import subprocess
import sys
from pathlib import Path

import pytest

from deploy import checking, system
from deploy.environment import ROOT, Environment, SetupError


def test_what_stands_after_the_dashes_goes_to_pytest() -> None:
    options = checking.parse(["--postgres", "wheel", "--", "-k", "sizing", "-x"])
    assert (options.postgres, options.pytest) == ("wheel", ["-k", "sizing", "-x"])
    assert checking.parse([]).pytest == []


@pytest.mark.parametrize(
    ("codes", "first"), [([], 0), ([0, 0], 0), ([0, 2, 1, 0], 2), ([0, 0, 5], 5)]
)
def test_the_exit_code_is_the_first_failing_steps(codes: list[int], first: int) -> None:
    assert checking.first_failure(codes) == first


def test_every_linter_runs_and_is_reported(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    ran: list[list[str]] = []

    def call(command: list[str], _variables: object) -> int:
        ran.append([Path(command[0]).stem, *command[1:]])
        return len(ran) % 2

    monkeypatch.setattr(checking, "call", call)
    monkeypatch.setattr(checking, "CHECKING", Environment(tmp_path, tmp_path / "lock"))
    assert checking.lint() == [1, 0, 1, 0]
    assert ran == [["ruff", "check"], ["ruff", "format", "--check"], ["mypy"], ["lint-imports"]]
    report = capsys.readouterr().out.split("== linters\n")[1].splitlines()
    assert [line.split(",")[0] for line in report] == [
        *("ruff check: FAILED", "ruff format: passed"),
        *("mypy: FAILED", "import-linter: passed"),
    ]


def test_tests_are_run_though_a_linter_failed_and_its_code_counts(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(checking, "ensure", lambda _: None)
    monkeypatch.setattr(checking, "lint", lambda: [0, 3, 0, 0])
    tested: list[list[str]] = []

    def test(options: object) -> int:
        tested.append(getattr(options, "pytest"))  # noqa: B009 - a Namespace by another name
        return 1

    monkeypatch.setattr(checking, "test", test)
    assert checking.main(["--", "-x"]) == 3
    assert tested == [["-x"]]


def test_a_need_that_cannot_be_met_fails_in_one_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(checking, "ensure", lambda _: None)
    monkeypatch.setattr(checking, "lint", lambda: [0])
    monkeypatch.setattr(system, "apt_install", lambda _: None)
    monkeypatch.setenv("PATH", os.devnull)
    assert checking.main([]) == 1
    assert capsys.readouterr().out.splitlines() == [
        "== tests",
        (
            "check: the tests of papers need poppler-utils and qpdf: install them"
            " (Debian, Ubuntu: sudo apt-get install poppler-utils qpdf)."
        ),
    ]


def test_only_the_missing_reader_is_asked_for(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    for name in ("pdftoppm", "pdftotext"):
        (tmp_path / name).touch(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert system.missing_readers() == ["qpdf"]


def test_a_chromium_named_by_hand_is_used(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(system.CHROMIUM_VARIABLE, sys.executable)
    assert system.chromium() == sys.executable


def test_a_chromium_named_wrongly_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(system.CHROMIUM_VARIABLE, "/no/such/browser")
    with pytest.raises(SetupError, match="names no program: /no/such/browser"):
        system.chromium()


def test_the_systems_chromium_is_found(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv(system.CHROMIUM_VARIABLE, raising=False)
    (tmp_path / "google-chrome").touch(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert system.chromium() == str(tmp_path / "google-chrome")


def test_a_missing_chromium_is_told_in_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(system.CHROMIUM_VARIABLE, raising=False)
    monkeypatch.setattr(system, "MAC_BROWSERS", ())
    monkeypatch.setattr(system, "apt_install", lambda _: None)
    monkeypatch.setenv("PATH", os.devnull)
    with pytest.raises(SetupError, match="sudo apt-get install chromium") as caught:
        system.chromium()
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("script", ["start.py", "check.py"])
def test_a_script_runs_from_any_folder(script: str, tmp_path: Path) -> None:
    command = [sys.executable, "-I", str(ROOT / "deploy" / script), "--help"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=True)
    assert done.stdout.startswith(f"usage: {script}")


@pytest.mark.parametrize("script", ["start.py", "check.py"])
def test_an_old_python_gets_a_sentence(script: str) -> None:
    path = ROOT / "deploy" / script
    act_old = (
        "import runpy, sys; sys.hexversion = 0x030A0DF0; sys.version = '3.10.13 (main)'; "
        f"runpy.run_path({str(path)!r}, run_name='__main__')"
    )
    done = subprocess.run(
        [sys.executable, "-c", act_old], capture_output=True, text=True, check=False
    )
    assert done.returncode == 1
    assert done.stderr == (
        f"{path.stem}: Hoodwright needs Python 3.11 or newer, and this is 3.10.13.\n"
    )


def test_no_lock_names_where_packages_come_from() -> None:
    locks = sorted((ROOT / "deploy").glob("requirements*.txt"))
    assert len(locks) == 4
    for lock in locks:
        text = lock.read_text(encoding="ascii")
        assert "://" not in text
        assert "index" not in text
        pins = text.count("==")
        assert pins > 0
        assert text.count("--hash=sha256:") >= pins
