"""Orders brought in from a table, beside writing the same rows with `executemany`.

    python3 -m tests.benchmarks.web.bringing [lines, 100000]

The floor writes the rows that were brought in into an empty database of the same tables, in one
transaction with the same durability, through the driver itself.
"""

import sqlite3
import sys
import time
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from service.bringing.files import bring_in_at_once
from service.db import open_database
from service.schema import upgrade

NOW = datetime(2027, 3, 1, 9, 30, tzinfo=UTC)
HEAD = (
    "buyer,e-mail,dog,breed,weight,neck length,neck girth,nape length,face girth,yarn,"
    "fibres,ball metres,ball grams,your number,taken on,state\n"
)
TABLES = ("buyer", "dog", "hood_order", "order_event", "order_word", "remembered_key")


def table(lines: int) -> bytes:
    """Return a table of orders, two for each dog."""
    random = Random(11)  # noqa: S311 - the same table each time
    rows = []
    for number in range(lines):
        who = number // 2
        scale = random.uniform(0.92, 1.08)
        lengths = ",".join(f"{mid * scale:.1f} cm" for mid in (8, 35.5, 11.5, 38))
        rows.append(
            f"Quill {who},q{who}@quill.example,Rex {who},Beagle,11 kg,{lengths},Sedge Aran,"
            f"acrylic 100,170,100,{number},2026-02-01,handed over\n"
        )
    return (HEAD + "".join(rows)).encode()


def bare(source: Path, target: Path) -> tuple[float, int]:
    """Return the seconds that the rows take alone, and how many they are."""
    database = open_database(f"sqlite:///{target}")
    upgrade(database.engine)
    database.close()
    with sqlite3.connect(source) as read:
        rows = {name: read.execute(f"SELECT * FROM {name}").fetchall() for name in TABLES}  # noqa: S608
    write = sqlite3.connect(target, isolation_level=None)
    write.execute("PRAGMA journal_mode = WAL")
    write.execute("PRAGMA synchronous = FULL")
    begun = time.perf_counter()
    write.execute("BEGIN IMMEDIATE")
    for name, some in rows.items():
        marks = ", ".join("?" * len(some[0]))
        write.executemany(f"INSERT INTO {name} VALUES ({marks})", some)  # noqa: S608 - our tables
    write.execute("COMMIT")
    seconds = time.perf_counter() - begun
    write.close()
    return seconds, sum(map(len, rows.values()))


def main(lines: int = 100_000) -> None:
    """Print lines and rows a second, and the ratio."""
    with TemporaryDirectory() as place:
        shop = Path(place) / "shop.sqlite"
        database = open_database(f"sqlite:///{shop}")
        upgrade(database.engine)
        text = table(lines)
        begun = time.perf_counter()
        report = bring_in_at_once(database, text, "", NOW)
        ours = time.perf_counter() - begun
        database.close()
        floor, rows = bare(shop, Path(place) / "bare.sqlite")
    print(f"{lines} lines ({len(text) / 1e6:.0f} MB): {dict(report.counts)}")
    print(
        f"brought in: {ours:.1f} s, {lines / ours:.0f} lines a second, each read, checked and"
        f" planned; executemany of the same {rows} rows: {floor:.1f} s; ratio {ours / floor:.1f}"
    )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
