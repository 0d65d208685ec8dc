"""One server for one embedded database: the second is told where the first is.

The two would not harm the orders, for SQLite locks; but each waits for the other's writes and
each makes the daily copy. The system ends the claim with the process, however that ends.
"""

import os
import sys
from collections.abc import Generator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from service.commands.opening import unusable
from service.keeping.backup import file_of, kind_of
from service.keeping.faults import KeepingError
from service.settings import Settings


def _lock(file: IO[str]) -> bool:
    """Return whether the file could be locked; on a disk that knows no locks it counts as so."""
    if sys.platform == "win32":
        import msvcrt  # noqa: PLC0415 - only there

        try:
            file.seek(1000)  # what stands in the file can still be read by others
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True
    import fcntl  # noqa: PLC0415 - not on Windows

    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        return True
    return True


@contextmanager
def alone(settings: Settings, address: str) -> Generator[None]:
    """Claim an embedded database for the server at an address, until the block ends.

    Raises:
        KeepingError: if another process serves it, saying where; or if its folder cannot be used.
    """
    url = settings.url()
    if kind_of(url) != "sqlite":
        yield
        return
    database = file_of(url)
    try:
        database.parent.mkdir(parents=True, exist_ok=True)
        file = Path(f"{database}-serving").open("a+", encoding="utf-8")  # noqa: SIM115 - closed below
    except OSError as error:
        raise KeepingError(unusable(settings, error)) from error
    with file:
        if not _lock(file):
            file.seek(0)
            where = file.read(300).strip() or "at another address"
            raise KeepingError(
                f"Hoodwright serves the database {database} already: {where}. Open that address,"
                " or stop that one first."
            )
        file.truncate(0)
        file.write(f"{address} (process {os.getpid()})\n")
        file.flush()
        yield
