"""Where the program begins: the console command `hoodwright`."""

import gc
import os
import signal
import sys
from collections.abc import Sequence
from types import FrameType
from typing import Final

FIRST: Final = 1
"""The number of a container's first process."""


def _end(_sign: int, _frame: FrameType | None) -> None:
    sys.exit(0)


def _hear_early() -> None:
    """End at the sign to stop from now on, and not only once everything is loaded.

    Every other process does so by itself; to the first one of a container the system gives no
    sign that it does not wait for.
    """
    if os.getpid() == FIRST:
        signal.signal(signal.SIGTERM, _end)


def main(arguments: Sequence[str] | None = None) -> int:
    """Load the program and run one of its commands; return the exit code."""
    _hear_early()
    # What is loaded stays until the end. To look through it for what has become garbage, again and
    # again while it grows, takes a sixth of the time to the first answer.
    gc.disable()
    from service import console  # noqa: PLC0415 - after the line above
    from service.keeping.private import write_privately  # noqa: PLC0415 - as above

    gc.freeze()
    gc.enable()
    write_privately()
    return console.main(arguments)


if __name__ == "__main__":
    sys.exit(main())
