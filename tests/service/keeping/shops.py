"""Shops with something in them: an embedded one, and one on a database server of its own."""

from pathlib import Path

import psycopg

from service.bodies import OrderIn, PaymentIn
from service.db import Database, open_database
from service.orders import take_order
from service.payments import pay
from service.schema import upgrade
from service.sending.outbox import Sending, send
from service.sending.queue import prepare
from service.settings import MailSettings
from tests.service.api import FixedClock, order_body

MAIL = MailSettings(sender="wrack@hoods.example")
NAMES = ("Bramble", "Großwürgel", "=1+1", "Ωμέγα 🐕")


def fill(database: Database, dogs: tuple[str, ...] = NAMES) -> list[str]:
    """Take orders with payments and a mail on its way; return their numbers."""
    numbers = []
    for name in dogs:
        with database.writing() as session:
            asked = OrderIn.model_validate(order_body(dog={"name": name, "breed": "Beagle"}))
            order = take_order(session, asked, FixedClock.now, f"key of {name}")
            pay(session, order, PaymentIn(amount="12.50", note="in cash"), FixedClock.now)
            if name == dogs[0]:
                send(session, order.number, Sending("care", "en"), MAIL, FixedClock.now)
            numbers.append(order.number)
    return numbers


def dogs_in(url: str) -> list[str]:
    """The dogs' names of all orders, read through the models."""
    database = open_database(url)
    try:
        with database.reading() as session:
            return [name for (name,) in session.connection().exec_driver_sql(
                "SELECT dog.name FROM hood_order JOIN dog ON dog.id = hood_order.dog_id"
                " ORDER BY hood_order.number")]  # fmt: skip
    finally:
        database.close()


def made(url: str) -> Database:
    """A database with the newest tables."""
    database = open_database(url)
    upgrade(database.engine)
    prepare(database.engine)
    return database


def without_schemas(url: str) -> None:
    """Leave nothing in a database but an empty schema."""
    with psycopg.connect(url, autocommit=True) as connection:
        ours = "nspname = 'public' OR nspname LIKE 'before%'"
        found = connection.execute(f"SELECT nspname FROM pg_namespace WHERE {ours}").fetchall()  # noqa: S608 - the tests' own
        for (name,) in found:
            connection.execute(f"DROP SCHEMA {name} CASCADE")
        connection.execute("CREATE SCHEMA public")


def embedded_url(folder: Path) -> str:
    return f"sqlite:///{folder / 'hoodwright.sqlite'}"
