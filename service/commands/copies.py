"""`backup`, `restore` and `check`."""

import argparse

from service.commands.opening import settings_of
from service.keeping.backup import back_up
from service.keeping.check import refuse_damaged
from service.keeping.counting import said
from service.keeping.restore import restore
from service.orders import utc_now

_MEGABYTE = 1_000_000


def backup(arguments: argparse.Namespace) -> int:
    """Copy the database to a file, try the copy, and say what it holds."""
    settings, _ = settings_of(arguments.data)
    now = utc_now()
    to = arguments.to or settings.backups() / f"by-hand-{now:%Y-%m-%d-%H%M%S}.zip"
    made = back_up(settings.url(), to, now)
    size = f"{made.size / _MEGABYTE:.1f} MB"
    print(f"Copied, read back and compared: {made.path} ({size}; {said(made.manifest.tables)}).")
    return 0


def restore_copy(arguments: argparse.Namespace) -> int:
    """Put a copy back, and say what it held."""
    settings, _ = settings_of(arguments.data)
    done = restore(arguments.file, settings.url(), utc_now(), over=arguments.over)
    day = f"{done.manifest.made_at:%Y-%m-%d %H:%M} UTC"
    print(f"Restored as of {day}: {said(done.manifest.tables)}.")
    print("Everybody signs in anew. Passwords and keys for programs are those of that day.")
    if done.old:
        print(f"What was there before is kept as {done.old}.")
    return 0


def check(arguments: argparse.Namespace) -> int:
    """Look at the whole database."""
    settings, _ = settings_of(arguments.data)
    refuse_damaged(settings.url(), whole=True)
    print("The database is sound.")
    return 0
