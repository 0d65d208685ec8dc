"""The last step of `deploy/check.py`: pytest beside a database of its own.

It runs in the environment that has the tests' packages.
"""

import argparse
import os
import signal
import sys
from collections.abc import Sequence
from types import FrameType

from deploy.checking import call
from deploy.environment import SetupError
from deploy.postgres import VARIABLE, scratch_database

# A process for each core, which takes from a slower one what that has not begun.
SHARED = ("--numprocesses=logical", "--dist=worksteal")
# A test that hangs is named, with where it stood, and the others are run.
BOUNDED = "--timeout=900"


def _end(number: int, _frame: FrameType | None) -> None:
    sys.exit(128 + number)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run pytest with the address of an empty database; the exit code is pytest's."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--way", required=True)
    parser.add_argument("pytest", nargs="*")
    options = parser.parse_args(arguments)
    # So that a polite kill stops the database server as well.
    signal.signal(signal.SIGTERM, _end)
    try:
        with scratch_database(options.way) as url:
            variables = {**os.environ, VARIABLE: url}
            return call(
                [sys.executable, "-m", "pytest", *SHARED, BOUNDED, *options.pytest], variables
            )
    except SetupError as error:
        print(f"check: {error}", flush=True)
        return 1


if __name__ == "__main__":
    sys.exit(main())
