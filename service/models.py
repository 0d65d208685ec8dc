"""The tables. What an order asks for and its plan are kept whole, as they were."""

from datetime import UTC, date, datetime
from typing import Any, Final

from sqlalchemy import (
    JSON,
    DateTime,
    Dialect,
    LargeBinary,
    String,
    Table,
    UniqueConstraint,
    false,
)
from sqlalchemy.types import TypeDecorator
from sqlmodel import Field, SQLModel

from service.actor import acting


class UtcDateTime(TypeDecorator[datetime]):
    """A moment in UTC; SQLite keeps no zone, so it is put back on the way out."""

    impl = DateTime
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Store the moment in UTC, without a zone."""
        del dialect
        return value.astimezone(UTC).replace(tzinfo=None) if value else None

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Give the moment its zone back."""
        del dialect
        return value.replace(tzinfo=UTC) if value else None


WORD: Final = String(60).with_variant(String(60, collation="C"), "postgresql")
"""A word that is looked up by how it begins, so in the order of its bytes."""


class Counter(SQLModel, table=True):
    """The last number given out under a name (the year of the orders)."""

    __tablename__ = "counter"

    name: str = Field(primary_key=True, max_length=20)
    value: int


class Shop(SQLModel, table=True):
    """The maker's own settings; one row."""

    __tablename__ = "shop"

    id: int = Field(primary_key=True)
    settings: dict[str, Any] = Field(sa_type=JSON)
    version: int


class Yarn(SQLModel, table=True):
    """A yarn on the shelf."""

    __tablename__ = "yarn"

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(max_length=200, index=True)
    details: dict[str, Any] = Field(sa_type=JSON)
    version: int = Field(default=1, sa_column_kwargs={"server_default": "1"})


class YarnLot(SQLModel, table=True):
    """One dye lot of a yarn on the shelf, and the balls that are left of it."""

    __tablename__ = "yarn_lot"
    __table_args__ = (UniqueConstraint("yarn_id", "colour", "lot"),)

    id: int | None = Field(default=None, primary_key=True)
    yarn_id: int = Field(foreign_key="yarn.id", index=True)
    colour: str = Field(default="", max_length=60)
    lot: str = Field(default="", max_length=200)
    balls: float


class YarnSwatch(SQLModel, table=True):
    """A swatch made of a yarn, under the maker's own name for it."""

    __tablename__ = "yarn_swatch"

    id: int | None = Field(default=None, primary_key=True)
    yarn_id: int = Field(foreign_key="yarn.id", index=True)
    name: str = Field(max_length=200)
    details: dict[str, Any] = Field(sa_type=JSON)


class YarnUse(SQLModel, table=True):
    """What a finished hood took off a lot, so that it can be put right or given back."""

    __tablename__ = "yarn_use"

    id: int | None = Field(default=None, primary_key=True)
    order_id: int = Field(foreign_key="hood_order.id", index=True)
    yarn: str = Field(max_length=200)
    colour: str = Field(default="", max_length=60)
    lot: str = Field(default="", max_length=200)
    balls: float


class CalendarLink(SQLModel, table=True):
    """The secret of a calendar address, known here by its digest alone."""

    __tablename__ = "calendar_link"

    id: int | None = Field(default=None, primary_key=True)
    token_hash: str = Field(max_length=64, unique=True)
    created_at: datetime = Field(sa_type=UtcDateTime)


class Buyer(SQLModel, table=True):
    """Who pays for hoods."""

    __tablename__ = "buyer"

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(max_length=200, index=True)
    email: str = Field(default="", max_length=254, index=True)
    phone: str = Field(default="", max_length=60)
    address: str = Field(default="", max_length=1000)
    erased_at: datetime | None = Field(default=None, sa_type=UtcDateTime)


class Dog(SQLModel, table=True):
    """A dog that has had a hood or will; its latest numbers are kept for the next one."""

    __tablename__ = "dog"

    id: int | None = Field(default=None, primary_key=True)
    buyer_id: int = Field(foreign_key="buyer.id", index=True)
    name: str = Field(max_length=200)
    details: dict[str, Any] = Field(sa_type=JSON)
    measurements: dict[str, Any] = Field(sa_type=JSON)


class Order(SQLModel, table=True):
    """An order for one hood."""

    __tablename__ = "hood_order"

    id: int | None = Field(default=None, primary_key=True)
    number: str = Field(max_length=20, unique=True)
    buyer_id: int = Field(foreign_key="buyer.id", index=True)
    dog_id: int = Field(foreign_key="dog.id", index=True)
    state: str = Field(max_length=20, index=True)
    due: date | None = Field(default=None, index=True)
    asked: dict[str, Any] = Field(sa_type=JSON)
    rates: dict[str, Any] = Field(sa_type=JSON)
    findings: list[dict[str, Any]] = Field(sa_type=JSON)
    plan: dict[str, Any] | None = Field(default=None, sa_type=JSON)
    engine: str = Field(default="", max_length=20)
    planned: bool = Field(default=False, sa_column_kwargs={"server_default": false()})
    buyer_name: str = Field(default="", max_length=200, sa_column_kwargs={"server_default": ""})
    dog_name: str = Field(default="", max_length=200, sa_column_kwargs={"server_default": ""})
    breed: str = Field(default="", max_length=200, sa_column_kwargs={"server_default": ""})
    version: int
    created_at: datetime = Field(sa_type=UtcDateTime)
    changed_at: datetime = Field(sa_type=UtcDateTime)


class OrderWord(SQLModel, table=True):
    """A word that an order is found by, without case."""

    __tablename__ = "order_word"

    word: str = Field(primary_key=True, sa_type=WORD)
    order_id: int = Field(primary_key=True, foreign_key="hood_order.id", index=True)


class Together(SQLModel, table=True):
    """An order that goes together with another one of its buyer: offered, billed, sent as one.

    The first order of such a set has no row; every other one names it.
    """

    __tablename__ = "together"

    order_id: int = Field(primary_key=True, foreign_key="hood_order.id")
    first_id: int = Field(foreign_key="hood_order.id", index=True)


class OrderDraft(SQLModel, table=True):
    """What is typed in the form of an order that is not taken yet; the key is the form's."""

    __tablename__ = "order_draft"

    id: int | None = Field(default=None, primary_key=True)
    key: str = Field(max_length=100, unique=True)
    typed: dict[str, Any] = Field(sa_type=JSON)
    version: int
    at: datetime = Field(sa_type=UtcDateTime, index=True)


class OrderEvent(SQLModel, table=True):
    """What happened to an order: written once, never changed."""

    __tablename__ = "order_event"

    id: int | None = Field(default=None, primary_key=True)
    order_id: int = Field(foreign_key="hood_order.id", index=True)
    at: datetime = Field(sa_type=UtcDateTime)
    kind: str = Field(max_length=40)
    note: str = Field(default="", max_length=2000)
    change: dict[str, Any] = Field(sa_type=JSON)
    by: str = Field(default_factory=acting, max_length=60, sa_column_kwargs={"server_default": ""})


class Outcome(SQLModel, table=True):
    """What became of an order's hood: what the maker told, and what the plan had said of it."""

    __tablename__ = "outcome"

    id: int | None = Field(default=None, primary_key=True)
    order_id: int = Field(foreign_key="hood_order.id", unique=True)
    dog_id: int = Field(foreign_key="dog.id", index=True)
    yarn: str = Field(max_length=200)
    told: dict[str, Any] = Field(sa_type=JSON)
    said: dict[str, Any] = Field(sa_type=JSON)
    at: datetime = Field(sa_type=UtcDateTime)


class Learned(SQLModel, table=True):
    """What the outcomes have taught of usual lengths, ready to be read; one row."""

    __tablename__ = "learned"

    id: int = Field(primary_key=True)
    offsets: list[dict[str, Any]] = Field(sa_type=JSON)


class Payment(SQLModel, table=True):
    """A payment by the buyer, or back to the buyer: written once, never changed."""

    __tablename__ = "payment"

    id: int | None = Field(default=None, primary_key=True)
    order_id: int = Field(foreign_key="hood_order.id", index=True)
    amount: str = Field(max_length=20)
    on: date
    note: str = Field(default="", max_length=2000)
    at: datetime = Field(sa_type=UtcDateTime)


class Bill(SQLModel, table=True):
    """An invoice or a credit note: written once, never changed; its paper is kept as it was.

    `hoods` are the numbers of the orders that it is over; none where it is over its order alone.
    """

    __tablename__ = "bill"

    id: int | None = Field(default=None, primary_key=True)
    order_id: int = Field(foreign_key="hood_order.id", index=True)
    kind: str = Field(max_length=20)
    number: str = Field(max_length=40, unique=True)
    issued: date
    total: str = Field(max_length=20)
    currency: str = Field(max_length=3)
    cancels: str = Field(default="", max_length=40)
    paper_id: int = Field(foreign_key="paper_copy.id")
    hoods: list[str] = Field(
        default=[], sa_type=JSON, sa_column_kwargs={"server_default": "[]", "nullable": False}
    )
    at: datetime = Field(sa_type=UtcDateTime)


class RememberedKey(SQLModel, table=True):
    """An idempotency key, and the order that it made or did something with."""

    __tablename__ = "remembered_key"

    key: str = Field(primary_key=True, max_length=200)
    fingerprint: str = Field(max_length=64)
    order_id: int = Field(foreign_key="hood_order.id", index=True)
    at: datetime = Field(sa_type=UtcDateTime)


class PaperCopy(SQLModel, table=True):
    """A paper as it went to a buyer, byte for byte: kept so that it can be looked at again."""

    __tablename__ = "paper_copy"
    __table_args__ = (UniqueConstraint("order_id", "kind", "sha256"),)

    id: int | None = Field(default=None, primary_key=True)
    order_id: int = Field(foreign_key="hood_order.id")
    kind: str = Field(max_length=20)
    name: str = Field(max_length=100)
    media: str = Field(max_length=100)
    sha256: str = Field(max_length=64)
    content: bytes = Field(sa_type=LargeBinary)
    order_version: int
    made_at: datetime = Field(sa_type=UtcDateTime)


class Delivery(SQLModel, table=True):
    """Papers on their way to a buyer: written with its cause, sent after.

    The letter is kept as it was previewed; where it asks the buyer to confirm, a mark that
    nobody else knows stands in the place of the link's secret, which only the mail holds.
    """

    __tablename__ = "delivery"

    id: int | None = Field(default=None, primary_key=True)
    order_id: int = Field(foreign_key="hood_order.id", index=True)
    kind: str = Field(max_length=20)
    language: str = Field(max_length=20)
    state: str = Field(max_length=20, index=True)
    how: str = Field(default="", max_length=300)
    reason: str = Field(default="", max_length=500)
    to_name: str = Field(default="", max_length=200)
    to_address: str = Field(default="", max_length=254)
    subject: str = Field(default="", max_length=300)
    text: str = ""
    html: str = ""
    mark: str = Field(default="", max_length=40)
    message_id: str | None = Field(default=None, max_length=300, unique=True)
    key: str | None = Field(default=None, max_length=250, unique=True)
    attempts: int = 0
    next_at: datetime = Field(sa_type=UtcDateTime)
    claimed_until: datetime | None = Field(default=None, sa_type=UtcDateTime)
    created_at: datetime = Field(sa_type=UtcDateTime)
    done_at: datetime | None = Field(default=None, sa_type=UtcDateTime)


class DeliveryPaper(SQLModel, table=True):
    """Which papers a delivery carries, in their order."""

    __tablename__ = "delivery_paper"

    delivery_id: int = Field(foreign_key="delivery.id", primary_key=True)
    paper_id: int = Field(foreign_key="paper_copy.id", primary_key=True, index=True)
    place: int


class Confirmation(SQLModel, table=True):
    """A secret that a mail carried, known here by its digest alone, and what it is good for."""

    __tablename__ = "confirmation"

    id: int | None = Field(default=None, primary_key=True)
    delivery_id: int = Field(foreign_key="delivery.id", index=True)
    token_hash: str = Field(max_length=64, unique=True)
    purpose: str = Field(max_length=40)
    created_at: datetime = Field(sa_type=UtcDateTime)
    expires_at: datetime = Field(sa_type=UtcDateTime)
    used_at: datetime | None = Field(default=None, sa_type=UtcDateTime)


class MailTemplate(SQLModel, table=True):
    """The maker's own wording of a mail; where there is no row, ours is used."""

    __tablename__ = "mail_template"

    kind: str = Field(primary_key=True, max_length=20)
    language: str = Field(primary_key=True, max_length=20)
    subject: str = Field(max_length=1000)
    text: str
    html: str
    version: int
    changed_at: datetime = Field(sa_type=UtcDateTime)


class OwnerLink(SQLModel, table=True):
    """A link by which a dog's owner may measure for one order; its secret is with them alone."""

    __tablename__ = "owner_link"

    id: int | None = Field(default=None, primary_key=True)
    order_id: int = Field(foreign_key="hood_order.id", index=True)
    purpose: str = Field(max_length=40)
    token_hash: str = Field(max_length=64, unique=True)
    language: str = Field(max_length=20)
    made_at: datetime = Field(sa_type=UtcDateTime)
    expires_at: datetime = Field(sa_type=UtcDateTime)
    revoked_at: datetime | None = Field(default=None, sa_type=UtcDateTime)


class OwnerNumbers(SQLModel, table=True):
    """What an owner measured by a link: kept beside the order until the maker takes it over."""

    __tablename__ = "owner_numbers"

    id: int | None = Field(default=None, primary_key=True)
    link_id: int = Field(foreign_key="owner_link.id", unique=True)
    order_id: int = Field(foreign_key="hood_order.id", index=True)
    told: dict[str, Any] = Field(sa_type=JSON)
    state: str = Field(max_length=20)
    version: int
    sent_at: datetime = Field(sa_type=UtcDateTime)
    settled_at: datetime | None = Field(default=None, sa_type=UtcDateTime)


class Enquiry(SQLModel, table=True):
    """What a stranger asked for, as it was typed; the order that it made, where it made one."""

    __tablename__ = "enquiry"

    id: int | None = Field(default=None, primary_key=True)
    key: str = Field(max_length=100, unique=True)
    told: dict[str, Any] = Field(sa_type=JSON)
    order_id: int | None = Field(default=None, foreign_key="hood_order.id", unique=True)
    at: datetime = Field(sa_type=UtcDateTime)
    looked_at: datetime | None = Field(default=None, sa_type=UtcDateTime, index=True)


class BenchEvent(SQLModel, table=True):
    """What was tapped while a hood was made: written once, never changed.

    `uid` is made by the phone, so that an event sent twice is kept once; `at` is the phone's
    moment and `kept_at` ours.
    """

    __tablename__ = "bench_event"
    __table_args__ = (UniqueConstraint("order_id", "uid"),)

    id: int | None = Field(default=None, primary_key=True)
    order_id: int = Field(foreign_key="hood_order.id", index=True)
    uid: str = Field(max_length=64)
    kind: str = Field(max_length=20)
    plan: str = Field(max_length=64)
    step: str = Field(default="", max_length=40)
    details: dict[str, Any] = Field(sa_type=JSON)
    at: datetime = Field(sa_type=UtcDateTime)
    kept_at: datetime = Field(sa_type=UtcDateTime)


class Account(SQLModel, table=True):
    """Somebody who may sign in; without a password only a one-time code opens it."""

    __tablename__ = "account"

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(max_length=60)
    key: str = Field(max_length=60, unique=True)
    role: str = Field(max_length=20)
    password: str = Field(default="", max_length=300)
    made_at: datetime = Field(sa_type=UtcDateTime)
    shut_at: datetime | None = Field(default=None, sa_type=UtcDateTime)


class SignIn(SQLModel, table=True):
    """A browser that is signed in; its secret is known here by its digest alone."""

    __tablename__ = "sign_in"

    id: int | None = Field(default=None, primary_key=True)
    account_id: int = Field(foreign_key="account.id", index=True)
    token_hash: str = Field(max_length=64, unique=True)
    made_at: datetime = Field(sa_type=UtcDateTime)
    seen_at: datetime = Field(sa_type=UtcDateTime)
    ends_at: datetime = Field(sa_type=UtcDateTime)


class SignInCode(SQLModel, table=True):
    """A one-time code, known here by its digest alone; used up, it is deleted."""

    __tablename__ = "sign_in_code"

    id: int | None = Field(default=None, primary_key=True)
    purpose: str = Field(max_length=20)
    account_id: int | None = Field(default=None, foreign_key="account.id", index=True)
    token_hash: str = Field(max_length=64, unique=True)
    made_at: datetime = Field(sa_type=UtcDateTime)
    ends_at: datetime = Field(sa_type=UtcDateTime)


class AccessKey(SQLModel, table=True):
    """A key for a program, known here by its digest alone, and what it is good for."""

    __tablename__ = "access_key"

    id: int | None = Field(default=None, primary_key=True)
    account_id: int = Field(foreign_key="account.id", index=True)
    name: str = Field(max_length=60)
    scopes: list[str] = Field(sa_type=JSON)
    token_hash: str = Field(max_length=64, unique=True)
    made_at: datetime = Field(sa_type=UtcDateTime)
    used_at: datetime | None = Field(default=None, sa_type=UtcDateTime)
    shut_at: datetime | None = Field(default=None, sa_type=UtcDateTime)


class SecondStep(SQLModel, table=True):
    """The key of an account's one-time codes by time, in base32: codes are made from it.

    It is asked for since `on_at`; `last_step` is the step of time whose code was used last.
    """

    __tablename__ = "second_step"

    account_id: int = Field(primary_key=True, foreign_key="account.id")
    secret: str = Field(max_length=64)
    made_at: datetime = Field(sa_type=UtcDateTime)
    on_at: datetime | None = Field(default=None, sa_type=UtcDateTime)
    last_step: int = 0


class RecoveryCode(SQLModel, table=True):
    """A code for whoever has lost the device of the second step, known here by its digest."""

    __tablename__ = "recovery_code"

    id: int | None = Field(default=None, primary_key=True)
    account_id: int = Field(foreign_key="account.id", index=True)
    code_hash: str = Field(max_length=64, unique=True)
    made_at: datetime = Field(sa_type=UtcDateTime)
    used_at: datetime | None = Field(default=None, sa_type=UtcDateTime)


class DoorEvent(SQLModel, table=True):
    """A change of how somebody comes in: written once, and known as soon as they say so.

    `seen_in` is the digest of the sign-in that made it, which need not be told. `state` and what
    follows are of the mail about it, as those of a delivery; the state is empty where none goes.
    """

    __tablename__ = "door_event"

    id: int | None = Field(default=None, primary_key=True)
    account_id: int = Field(foreign_key="account.id", index=True)
    at: datetime = Field(sa_type=UtcDateTime)
    kind: str = Field(max_length=40)
    about: str = Field(default="", max_length=60)
    by: str = Field(default_factory=acting, max_length=60)
    seen_in: str = Field(default="", max_length=64)
    known_at: datetime | None = Field(default=None, sa_type=UtcDateTime)
    state: str = Field(default="", max_length=20, index=True)
    reason: str = Field(default="", max_length=500)
    attempts: int = 0
    next_at: datetime = Field(sa_type=UtcDateTime)
    claimed_until: datetime | None = Field(default=None, sa_type=UtcDateTime)


class Errand(SQLModel, table=True):
    """A piece of long work beside the requests, and what it made; forgotten after a day.

    `runner` is the process that does it, `seen_at` its last sign of life.
    """

    id: int | None = Field(default=None, primary_key=True)
    lane: str = Field(max_length=20)
    runner: str = Field(max_length=16)
    at: datetime = Field(sa_type=UtcDateTime, index=True)
    seen_at: datetime = Field(sa_type=UtcDateTime)
    over_at: datetime | None = Field(default=None, sa_type=UtcDateTime)
    done: int = 0
    whole: int = 0
    wrong: str = ""
    made: bytes | None = Field(default=None, sa_type=LargeBinary)


class BroughtFile(SQLModel, table=True):
    """A file that was brought in, or waits to be; its content goes as soon as that is settled."""

    __tablename__ = "brought_file"

    id: int | None = Field(default=None, primary_key=True)
    name: str = Field(default="", max_length=200)
    yarn: str = Field(default="", max_length=200)
    digest: str = Field(max_length=64, index=True)
    content: bytes | None = Field(default=None, sa_type=LargeBinary)
    report: dict[str, Any] | None = Field(default=None, sa_type=JSON)
    at: datetime = Field(sa_type=UtcDateTime)
    done_at: datetime | None = Field(default=None, sa_type=UtcDateTime)
    errand_id: int | None = Field(default=None, foreign_key="errand.id", ondelete="SET NULL")


def table_of(model: type[SQLModel]) -> Table:
    """Return a table, for a statement that does without the ORM."""
    return SQLModel.metadata.tables[str(model.__tablename__)]


def columns_of(model: type[SQLModel]) -> Any:  # noqa: ANN401 - SQLAlchemy names no type for them
    """Return a table's columns, for a statement that reads them without the ORM."""
    return table_of(model).c
