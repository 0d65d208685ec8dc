"""Shops of any size, made from a pool of real plans: as many past orders as wanted, few open.

An order of the pool is one that the shop took itself; the copies have other numbers, people and
days. What belongs to a past order and is not needed to show it (copies of the papers sent) is
left out: a million of those would fill any disk.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import islice
from json import dumps
from random import Random
from typing import Any, Final

from sqlalchemy import insert
from sqlmodel import SQLModel, select

from service.bodies import OrderIn
from service.db import Database
from service.lookup import word_rows
from service.models import Buyer, Dog, Order, OrderEvent, OrderWord, columns_of
from service.orders import take_order
from sizing.breeds import BREEDS
from tests.service.api import SWATCH, order_body

NOW: Final = datetime(2027, 3, 1, 9, 30, tzinfo=UTC)
OPEN: Final = ("enquiry", "quoted", "accepted", "making", "finished")
STILL_OPEN: Final = 30
BATCH: Final = 500
_PARTS: Final = (
    *("bel", "cor", "dun", "fen", "gar", "hol", "kir", "lum", "mar"),
    *("nor", "pel", "ros", "sil", "tan", "ull", "ver", "wyk", "yar"),
)


@dataclass(frozen=True)
class Pool:
    """Rows of real orders, without what makes each its own."""

    rows: list[dict[str, Any]]


def names(random: Random) -> tuple[str, str, str]:
    """Return an invented buyer, surname apart, and dog."""
    first, last, dog = ("".join(random.choices(_PARTS, k=count)) for count in (2, 3, 2))
    return first.capitalize(), last.capitalize(), dog.capitalize()


def pool(database: Database, count: int) -> Pool:
    """Take real orders for dogs of many breeds and return their rows."""
    random = Random(7)  # noqa: S311 - the same pool each time
    breeds = [breed.name for breed in BREEDS]
    rows = []
    for number in range(count):
        breed = breeds[number % len(breeds)]
        scale = random.uniform(0.6, 1.6)
        lengths = {"neck_length": 8, "neck_girth": 35.5, "nape_length": 11.5, "face_girth": 38}
        told = {name: f"{value * scale:.1f}" for name, value in lengths.items()}
        asked = order_body(
            dog={"name": "Pool", "breed": breed},
            measurements=told,
            swatch=SWATCH,
            accepted=[
                {"field": name, "reason": "drawn for a benchmark"}
                for name in (*told, "weight", "breed")
            ],
        )
        with database.writing() as session:
            row = take_order(session, OrderIn.model_validate(asked), NOW)
            rows.append(row.model_dump(exclude={"id"}))
    return Pool([row for row in rows if row["plan"]])


def _orders(drawn: Pool, count: int, random: Random) -> Iterator[dict[type[SQLModel], Any]]:
    """Yield each order with all rows that hang on it."""
    for number in range(1, count + 1):
        left = count - number
        first, last, dog = names(random)
        taken = NOW - timedelta(hours=left)
        row = dict(random.choice(drawn.rows))
        asked = {**row["asked"], "buyer": {**row["asked"]["buyer"], "name": f"{first} {last}"}}
        asked["dog"] = {**asked["dog"], "name": dog}
        state = OPEN[left % len(OPEN)] if left < STILL_OPEN else "handed over"
        row |= {
            "id": number,
            "number": f"{taken.year}-{number:07d}",
            "buyer_id": number,
            "dog_id": number,
            "state": state,
            "due": (taken + timedelta(days=40)).date(),
            "asked": asked,
            "buyer_name": f"{first} {last}",
            "dog_name": dog,
            "created_at": taken,
            "changed_at": taken,
        }
        named = (row["number"], row["buyer_name"], dog, row["breed"])
        yield {
            Buyer: [{"id": number, "name": row["buyer_name"], "email": "", "phone": "",
                     "address": ""}],
            Dog: [{"id": number, "buyer_id": number, "name": dog, "details": asked["dog"],
                   "measurements": {**asked["measurements"], "unit": asked["unit"]}}],
            Order: [row],
            OrderEvent: [
                {"order_id": number, "at": taken, "kind": kind, "note": "", "change": change}
                for kind, change in (
                    ("taken", {}), ("moved", {"state": ["enquiry", "accepted"]}),
                    ("moved", {"state": ["accepted", state]}),
                )
            ],
            OrderWord: word_rows(number, *named),
        }  # fmt: skip


_INSERT: Final = "INSERT INTO hood_order ({}) VALUES ({})".format(  # noqa: S608 - our own names
    ", ".join(column.name for column in columns_of(Order)),
    ", ".join(f":{column.name}" for column in columns_of(Order)),
)


def _as_kept(row: dict[str, Any], texts: dict[int, str]) -> dict[str, Any]:
    """Return an order as SQLite keeps it; what it shares with the pool is written as JSON once."""
    kept = {}
    for name, value in row.items():
        if isinstance(value, datetime):
            kept[name] = value.replace(tzinfo=None).isoformat(" ", "microseconds")
        elif isinstance(value, date):
            kept[name] = value.isoformat()
        elif isinstance(value, dict | list):
            shared = texts.get(id(value))
            kept[name] = shared if shared is not None else dumps(value)
        else:
            kept[name] = value
    return kept


def fill(database: Database, count: int, drawn: Pool) -> None:
    """Fill an empty shop with orders."""
    made = _orders(drawn, count, Random(count))  # noqa: S311 - the same shop each time
    shared = ("rates", "findings", "plan")
    texts = {id(row[name]): dumps(row[name]) for row in drawn.rows for name in shared}
    people: tuple[type[SQLModel], ...] = (Buyer, Dog)
    told: tuple[type[SQLModel], ...] = (OrderEvent, OrderWord)
    while some := list(islice(made, BATCH)):
        with database.writing() as session:
            for kind in people:
                session.execute(insert(kind), [row for one in some for row in one[kind]])
            # Past the types: writing the same plans as JSON again is what took longest.
            orders = [_as_kept(row, texts) for one in some for row in one[Order]]
            session.connection().exec_driver_sql(_INSERT, orders)
            for kind in told:
                session.execute(insert(kind), [row for one in some for row in one[kind]])


def from_the_middle(database: Database) -> tuple[str, str]:
    """Return the number of an order from the middle of a shop, and its buyer's surname."""
    with database.reading() as session:
        last = session.exec(select(Order.id).order_by(Order.id.desc())).first() or 0  # type: ignore[union-attr]
        row = session.get_one(Order, max(last // 2, 1))
        return row.number, row.buyer_name.split()[-1]
