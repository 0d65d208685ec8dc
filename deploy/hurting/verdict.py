"""What a database holds after all that, read past the program: plain SQL on both databases."""

import sqlite3
from collections.abc import Iterable
from contextlib import closing
from dataclasses import dataclass
from typing import Any

import psycopg

from deploy.hurting.load import Kept
from deploy.hurting.server import Server

# The keys that made orders; those of payments and credit notes begin with their order's number.
_BY_KEY = (
    "SELECT k.key, o.number FROM remembered_key k JOIN hood_order o ON o.id = k.order_id"
    " WHERE substr(k.key, 1, length(o.number)) <> o.number"
)
# An order is whole with its plan, its people, and an event for each of its versions.
_HALF = (
    "SELECT number FROM hood_order o WHERE plan IS NULL OR CAST(plan AS TEXT) = 'null'"
    " OR NOT EXISTS (SELECT 1 FROM buyer b WHERE b.id = o.buyer_id)"
    " OR NOT EXISTS (SELECT 1 FROM dog d WHERE d.id = o.dog_id)"
    " OR NOT EXISTS (SELECT 1 FROM remembered_key k WHERE k.order_id = o.id"
    " AND substr(k.key, 1, length(o.number)) <> o.number)"
    " OR version <> (SELECT count(*) FROM order_event e WHERE e.order_id = o.id"
    " AND e.kind IN ('taken', 'changed', 'moved'))"
)
_HALF_SENT = (
    "SELECT d.id FROM delivery d WHERE NOT EXISTS"
    " (SELECT 1 FROM delivery_paper p WHERE p.delivery_id = d.id)"
    " OR NOT EXISTS (SELECT 1 FROM order_event e WHERE e.order_id = d.order_id"
    " AND e.kind = 'delivery')"
)
_SENT = "SELECT o.number, d.id FROM delivery d JOIN hood_order o ON o.id = d.order_id"
_STATES = "SELECT number, state FROM hood_order"


def rows(server: Server, query: str) -> list[tuple[Any, ...]]:
    """Ask the database itself."""
    if server.url:
        with psycopg.connect(server.url.replace("+psycopg", "")) as connection:
            return connection.execute(query.encode()).fetchall()
    with closing(sqlite3.connect(server.database, timeout=30)) as connection:
        return connection.execute(query).fetchall()


@dataclass(frozen=True)
class Verdict:
    """What was acknowledged and what became of it."""

    orders: int
    deliveries: int
    lost: int
    doubled: int
    half: int
    wrong: tuple[str, ...]

    @property
    def sound(self) -> bool:
        """Whether nothing is amiss."""
        return not (self.lost or self.doubled or self.half or self.wrong)


def gaps(numbers: Iterable[str]) -> list[str]:
    """Return what is wrong with the numbers: in each year they run from 1 without a gap."""
    years: dict[str, list[int]] = {}
    for number in numbers:
        year, _, place = number.partition("-")
        years.setdefault(year, []).append(int(place))
    return [
        f"the last number of {year} is {max(places)}, and there are {len(places)} orders"
        for year, places in years.items()
        if max(places) != len(places)
    ]


def judged(server: Server, kept: Kept) -> Verdict:
    """Hold what was acknowledged against what is there."""
    there = dict(rows(server, _BY_KEY))
    states = dict(rows(server, _STATES))
    sent = rows(server, _SENT)
    lost = [key for key, number in kept.orders.items() if there.get(key) != number]
    lost += [n for n in kept.moved if states.get(n) != "quoted"]
    lost += [n for n, made in kept.deliveries.items() if (n, made) not in sent]
    # As many orders as keys, and one mail for each order: none was made twice.
    doubled = len(states) - len(there) + len(sent) - len({number for number, _ in sent})
    half = len(rows(server, _HALF)) + len(rows(server, _HALF_SENT))
    wrong = list(kept.faults)
    wrong += gaps(states)
    if not server.url:
        wrong += [text for (text,) in rows(server, "PRAGMA integrity_check") if text != "ok"]
        wrong += [str(row) for row in rows(server, "PRAGMA foreign_key_check")]
    return Verdict(len(kept.orders), len(kept.deliveries), len(lost), doubled, half, tuple(wrong))
