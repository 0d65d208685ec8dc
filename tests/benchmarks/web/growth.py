"""Whether a page takes longer in a larger shop.

    python3 -m tests.benchmarks.web.growth [folder to keep the shops in] [orders ...]

Makes a shop of each size (100, 10,000 and 1,000,000 orders unless told otherwise; a million take
some 25 GB), serves each in a process of its own, and asks all of them the same in turns, one
request at a time. The ratio is to the smallest shop. Shops in a folder that is given are kept,
and used again.
"""

import sys
import time
from collections.abc import Sequence
from contextlib import ExitStack
from itertools import repeat
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from service.db import open_database
from service.schema import upgrade
from tests.benchmarks.web.client import Load, load, request, together
from tests.benchmarks.web.serving import bind, server
from tests.benchmarks.web.shops import Pool, fill, from_the_middle, pool
from tests.entering import KNOWN

SIZES = (100, 10_000, 1_000_000)
PLANS = 1_500
TURNS = 6
SECONDS = 0.7
GOAL = 1.5


def made(folder: Path, sizes: Sequence[int]) -> None:
    """Make the shops that are not there yet."""
    drawn: Pool | None = None
    for size in sizes:
        place = folder / str(size)
        if (place / "made").exists():
            continue
        place.mkdir(parents=True, exist_ok=True)
        if drawn is None:
            with TemporaryDirectory() as other:
                source = open_database(f"sqlite:///{other}/pool.sqlite")
                upgrade(source.engine)
                drawn = pool(source, PLANS)
                source.close()
        database = open_database(f"sqlite:///{place}/shop.sqlite")
        upgrade(database.engine)
        begun = time.perf_counter()
        fill(database, size, drawn)
        with database.engine.connect() as connection:
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
        database.close()
        (place / "made").touch()
        gigabytes = (place / "shop.sqlite").stat().st_size / 1e9
        seconds = time.perf_counter() - begun
        print(f"{size} orders of {len(drawn.rows)} plans: {gigabytes:.2f} GB, {seconds:.0f} s",
              flush=True)  # fmt: skip


def asked(place: Path) -> dict[str, str]:
    """Return what is asked of a shop."""
    database = open_database(f"sqlite:///{place}/shop.sqlite")
    number, surname = from_the_middle(database)
    database.close()
    return {
        "today": "/",
        "list": "/orders",
        "search": f"/orders?q={surname}",
        "search, no hit": "/orders?q=zzzq",
        "one state": "/orders?state=finished",
        "one order": f"/orders/{number}",
        "API list": "/api/v1/orders",
        "API search": f"/api/v1/orders?q={surname}",
        "API order": f"/api/v1/orders/{number}",
    }


def main(folder: Path, sizes: Sequence[int]) -> None:
    """Print the table."""
    made(folder, sizes)
    bind(-1)
    with ExitStack() as stack:
        ports = {}
        for size in sizes:
            ports[size], _ = stack.enter_context(server("shop", folder / str(size)))
        paths = {size: asked(folder / str(size)) for size in sizes}
        print(f"{'ms, median':<16}" + "".join(f"{size:>11,}" for size in sizes) + f"{'ratio':>8}")
        for name in paths[sizes[0]]:
            found: dict[int, list[Load]] = {size: [] for size in sizes}
            for turn in range(TURNS + 1):
                for size in sizes:
                    wire = request("GET", paths[size][name], KNOWN)
                    one = load(ports[size], repeat(wire), 1, SECONDS)
                    one.refuse(200)
                    if turn:  # the first one warms up
                        found[size].append(one)
            times = [median(together(found[size]).waits) * 1000 for size in sizes]
            ratio = max(times) / times[0]
            mark = "" if ratio <= GOAL else " !"
            print(f"{name:<16}" + "".join(f"{ms:>11.2f}" for ms in times)
                  + f"{ratio:>8.2f}{mark}", flush=True)  # fmt: skip


if __name__ == "__main__":
    given = sys.argv[1:]
    wanted = tuple(int(one) for one in given[1:]) or SIZES
    if given:
        main(Path(given[0]), wanted)
    else:
        with TemporaryDirectory() as temporary:
            main(Path(temporary), wanted)
