"""What `deploy/check.py` does: environment, linters, the tests' needs, the tests."""

import argparse
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence

from deploy import system
from deploy.environment import CHECKING, ROOT, SetupError, ensure, lacks_venv, venv_package

WAYS = ("given", "local", "installed", "wheel")
INTERRUPTED = 130  # what a shell calls a program ended by Ctrl-C

LINTERS = {
    "ruff check": ("ruff", "check"),
    "ruff format": ("ruff", "format", "--check"),
    "mypy": ("mypy",),
    "import-linter": ("lint-imports",),
}


def parse(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(
        prog="check.py",
        description="Run the linters and every test.",
        epilog="What stands after -- goes to pytest, as in: check.py -- -k sizing -x",
    )
    parser.add_argument(
        "--postgres",
        choices=WAYS,
        help="where the test database server comes from, instead of the first that works: "
        "HOODWRIGHT_TEST_POSTGRES, one on 127.0.0.1:5432, one installed but not running, "
        "one from a Python wheel",
    )
    parser.add_argument("pytest", nargs="*", help=argparse.SUPPRESS)
    return parser.parse_args(arguments)


def lint() -> list[int]:
    """Run every linter, say how each ended, and return their exit codes."""
    codes: dict[str, int] = {}
    report: list[str] = []
    for name, (program, *arguments) in LINTERS.items():
        print(f"== {name}", flush=True)
        began = time.monotonic()
        path = shutil.which(program, path=str(CHECKING.scripts)) or program
        codes[name] = call([path, *arguments], os.environ)
        report.append(f"{name}: {outcome(codes[name])}, {time.monotonic() - began:.1f} s")
    print("== linters", *report, sep="\n", flush=True)
    return list(codes.values())


def outcome(code: int) -> str:
    """How a step ended, in words."""
    return "FAILED" if code else "passed"


def first_failure(codes: Sequence[int]) -> int:
    """The exit code of the first step that failed, or 0."""
    return next((code for code in codes if code), 0)


def call(command: Sequence[str], variables: Mapping[str, str]) -> int:
    """Run a step to its end, through a Ctrl-C too: it hears that itself, and cleans up."""
    with subprocess.Popen(command, cwd=ROOT, env=variables, stdin=subprocess.DEVNULL) as step:
        while True:
            try:
                return step.wait()
            except KeyboardInterrupt:
                continue


def test(options: argparse.Namespace) -> int:
    """Run pytest, with a browser, PDF readers and a database server at hand."""
    print("== tests", flush=True)
    system.require_pdf_readers()
    variables = {**os.environ, system.CHROMIUM_VARIABLE: system.chromium()}
    # In the environment's own Python, for it has the database's driver.
    command = [str(CHECKING.python), "-m", "deploy.testing", "--way", options.postgres or "any"]
    return call([*command, "--", *options.pytest], variables)


def main(arguments: Sequence[str] | None = None) -> int:
    """Check everything; the exit code is the first failing step's."""
    options = parse(arguments)
    try:
        if lacks_venv():
            system.apt_install([venv_package()])
        ensure(CHECKING)
        codes = lint()
        try:
            codes.append(test(options))
        except SetupError as error:
            print(f"check: {error}", flush=True)
            codes.append(1)
        return first_failure(codes)
    except SetupError as error:
        print(f"check: {error}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return INTERRUPTED
