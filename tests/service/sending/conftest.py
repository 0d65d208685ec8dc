"""An order to send papers of, and a post office to send them to."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from service.bodies import OrderIn, ShopIn
from service.db import Database
from service.given import DeliveryState
from service.models import Delivery, OrderEvent, PaperCopy
from service.orders import found, take_order
from service.sending.deliver import deliver
from service.sending.outbox import Sending, send
from service.sending.rows import papers_of
from service.settings import MailSettings, Security
from service.shop import save_shop
from tests.service.api import FixedClock, order_body
from tests.service.sending.postoffice import HOST, PostOffice, opened

SHOP = ShopIn(name="Wrack Hoods", address="3 Weir Cottages", email="wrack@hoods.example")


class Shop:
    """A shop with one order, and what it sends."""

    def __init__(self, database: Database, clock: FixedClock) -> None:
        self.database = database
        self.clock = clock
        with database.writing() as session:
            save_shop(session, SHOP, 0)
        self.number = self.take()

    def take(self, **changes: object) -> str:
        """Take an order; return its number."""
        with self.database.writing() as session:
            asked = OrderIn.model_validate(order_body(**changes))
            return take_order(session, asked, self.clock()).number

    def send(self, mail: MailSettings, kind: str = "care", number: str = "", to: str = "") -> int:
        """Put a mail into the outbox; return the delivery's id."""
        with self.database.writing() as session:
            row = send(session, number or self.number, Sending(kind, "en", to), mail, self.clock())
            return row.id or 0

    def deliver(self, mail: MailSettings, delivery: int) -> DeliveryState | None:
        return deliver(self.database, mail, delivery, self.clock)

    def row(self, delivery: int) -> Delivery:
        with self.database.reading() as session:
            return session.get_one(Delivery, delivery)

    def papers(self, delivery: int) -> list[PaperCopy]:
        with self.database.reading() as session:
            return papers_of(session, session.get_one(Delivery, delivery))

    def history(self) -> list[str]:
        """What the order's history says of deliveries."""
        with self.database.reading() as session:
            events: tuple[OrderEvent, ...] = found(session, self.number).events
            return [event.change["said"] for event in events if "said" in event.change]

    def later(self, pause: timedelta) -> None:
        self.clock.now += pause


@pytest.fixture
def shop(database: Database, clock: FixedClock) -> Shop:
    return Shop(database, clock)


@pytest.fixture
def office() -> Iterator[PostOffice]:
    """A mail server that asks for nothing."""
    with opened() as one:
        yield one


def to_server(port: int, **changes: object) -> MailSettings:
    """Settings for a plain server at a port of this machine."""
    plain = {"host": HOST, "port": port, "security": Security.NONE, "timeout": 5}
    return MailSettings(**{**plain, **changes})  # type: ignore[arg-type]  # as named


@pytest.fixture
def mail(office: PostOffice) -> MailSettings:
    """Settings for that server, with a public address for the confirm link."""
    return to_server(office.port, address="https://hoods.example")


@pytest.fixture
def to_files(tmp_path: Path) -> MailSettings:
    """Settings without a server."""
    return MailSettings(folder=tmp_path / "mail")
