"""All faults, one after the other, and the table: run by deploy/faults.py."""

import argparse
import platform
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from deploy.environment import SetupError
from deploy.hurting import faults
from deploy.hurting.faults import Row, full_disk, second, under_load
from deploy.hurting.server import Server
from deploy.postgres import new_database, scratch_database
from deploy.striking import struck_database

HEADS = (
    "fault", "database", "times", "orders acknowledged", "mails acknowledged", "lost", "doubled",
    "half", "all sound", "recovery, median / worst s", "clients were told",
)  # fmt: skip


def parse(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(
        prog="faults.py",
        description="Hurt a running server in every way we know, and count what it kept.",
        epilog="Nothing is written but the table; the databases are made for it and dropped.",
    )
    parser.add_argument("--kills", type=int, default=100, help="of each database (100)")
    parser.add_argument("--times", type=int, default=5, help="of each other fault (5)")
    parser.add_argument(
        "--only", nargs="*", help="lines whose fault and database hold one of these texts"
    )
    parser.add_argument("--postgres", default="any", help="as deploy/check.py has it")
    return parser.parse_args(arguments)


def embedded(folder: Path, kills: int, times: int) -> Iterator[tuple[str, list[object]]]:
    """Yield the faults of the embedded database, each with how it is brought about."""
    for number, (name, count, hurt) in enumerate(
        (
            ("kill -9 under load", kills, faults.kill),
            ("file deleted under load", times, faults.delete_file),
            ("file moved away for 1 s", times, faults.move_away),
            ("held by another for 7 s", min(times, 3), faults.hold),
            ("files forbidden to be written for 1 s", times, faults.immutable),
            ("clock put back under load", times, faults.PutBack()),
        )
    ):
        place = folder / f"s{number}"
        place.mkdir()
        yield f"{name}, SQLite", [under_load, Server(place), name, count, hurt]
    yield "disk full: small disk", [full_disk, folder / "disk", times]
    (folder / "limit").mkdir()
    yield (
        "disk full: limit",
        [lambda place, n: full_disk(place, n, mount=False), folder / "limit", times],
    )
    (folder / "two").mkdir()
    yield "a second server", [second, folder / "two"]


def served(folder: Path, url: str, kills: int, times: int) -> Iterator[tuple[str, list[object]]]:
    """Yield the faults of a database on a server."""
    for number, (name, count, hurt) in enumerate(
        (
            ("kill -9 under load", kills, faults.kill),
            ("connections ended under load", times * 4, faults.end_connections),
            ("read-only for 1 s", times, faults.read_only),
            ("clock put back under load", times, faults.PutBack()),
        )
    ):
        place = folder / f"p{number}"
        place.mkdir()
        yield f"{name}, PostgreSQL", [_on_new, place, url, name, count, hurt]
    yield "database server started anew under load, PostgreSQL", [_on_own, times]


def _on_new(folder: Path, url: str, name: str, count: int, hurt: faults.Hurt) -> Row:
    with new_database(url) as own:
        return under_load(Server(folder, own), name, count, hurt)


def _on_own(times: int) -> Row:
    """Hurt a database server of our own: the machine's is others' too."""
    with (
        # A folder of its own, which the account that the server runs as may come into.
        tempfile.TemporaryDirectory(prefix="hoodwright-anew-") as name,
        struck_database(Path(name)) as database,
        new_database(database.url) as own,
    ):
        place = Path(name) / "data"
        place.mkdir()
        hurt = faults.StartAnew(database)
        return under_load(Server(place, own), "database server started anew", times, hurt)


def main(arguments: Sequence[str] | None = None) -> int:
    """Hurt, print the table, and return 1 if anything was lost."""
    options = parse(arguments)
    began, sound = time.monotonic(), True
    print(f"{platform.system()} {platform.machine()}, Python {platform.python_version()}")
    print("", " | ".join(HEADS), "", sep="|")
    print("|---" * len(HEADS) + "|", flush=True)
    with (
        tempfile.TemporaryDirectory(prefix="hoodwright-faults-") as name,
        scratch_database(options.postgres) as url,
    ):
        folder = Path(name)
        plans = [*embedded(folder, options.kills, options.times)]
        plans += served(folder, url, options.kills, options.times)
        for fault, (work, *given) in plans:
            if options.only and not any(text in fault for text in options.only):
                continue
            row: Row = work(*given)  # type: ignore[operator]
            sound = sound and row.verdict.sound
            print("| " + " | ".join(row.cells()) + " |", flush=True)
    end = "Nothing was lost" if sound else "SOMETHING WAS LOST"
    print(f"{end}; {time.monotonic() - began:.0f} s")
    return 0 if sound else 1


if __name__ == "__main__":
    try:
        sys.exit(main())
    except SetupError as error:
        sys.exit(f"faults: {error}")
