"""The files of a shop are for the account that runs it: others on the machine read none."""

import os
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import Final

OTHERS: Final = 0o077
"""What the group and all others might do with a file."""


def write_privately() -> None:
    """Let others read nothing that this process writes from now on."""
    os.umask(OTHERS)


def shut(paths: Iterable[Path]) -> None:
    """Take from others what an earlier version let them read; what is another's stays as it is."""
    for path in paths:
        with suppress(OSError):
            path.chmod(path.stat().st_mode & ~OTHERS)
