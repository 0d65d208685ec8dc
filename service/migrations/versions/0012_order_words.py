"""what a list shows of an order, and the words it is found by

Revision ID: 0012
Revises: 0009
"""

import re
from unicodedata import normalize

import sqlalchemy as sa
from alembic import op


revision = "0012"
down_revision = "0009"
branch_labels = None
depends_on = None

WORD = sa.String(length=60).with_variant(sa.String(length=60, collation="C"), "postgresql")
NAMES = ("buyer_name", "dog_name", "breed")


def upgrade() -> None:
    with op.batch_alter_table("hood_order", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("planned", sa.Boolean(), server_default=sa.false(), nullable=False)
        )
        for name in NAMES:
            batch_op.add_column(
                sa.Column(name, sa.String(length=200), server_default="", nullable=False)
            )
        batch_op.drop_column("search")
    op.create_table(
        "order_word",
        sa.Column("word", WORD, nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["order_id"], ["hood_order.id"]),
        sa.PrimaryKeyConstraint("word", "order_id"),
    )
    with op.batch_alter_table("order_word", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_order_word_order_id"), ["order_id"], unique=False)
    _fill()


def _orders() -> sa.TableClause:
    return sa.table(
        "hood_order",
        *(sa.column(name, sa.String) for name in ("number", *NAMES, "search")),
        sa.column("id", sa.Integer),
        sa.column("asked", sa.JSON),
        sa.column("plan", sa.JSON),
        sa.column("planned", sa.Boolean),
    )


def _named(asked: dict) -> tuple[str, str, str]:
    dog = asked.get("dog", {})
    return asked.get("buyer", {}).get("name", ""), dog.get("name", ""), dog.get("breed", "")


def _fill() -> None:
    connection, orders = op.get_bind(), _orders()
    words = sa.table("order_word", sa.column("word"), sa.column("order_id"))
    last = 0
    while True:
        query = sa.select(orders.c.id, orders.c.number, orders.c.asked, orders.c.plan)
        query = query.where(orders.c.id > last).order_by(orders.c.id).limit(200)
        rows = connection.execute(query).all()
        if not rows:
            return
        for row in rows:
            buyer, dog, breed = _named(row.asked or {})
            connection.execute(
                sa.update(orders)
                .where(orders.c.id == row.id)
                .values(buyer_name=buyer, dog_name=dog, breed=breed, planned=row.plan is not None)
            )
            plain = normalize("NFC", f"{row.number} {buyer} {dog} {breed}").casefold()
            found = dict.fromkeys(word[:60] for word in re.findall(r"[^\W_]+", plain))
            connection.execute(
                sa.insert(words), [{"word": word, "order_id": row.id} for word in found]
            )
        last = rows[-1].id


def downgrade() -> None:
    op.drop_table("order_word")
    with op.batch_alter_table("hood_order", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("search", sa.String(length=1000), server_default="", nullable=False)
        )
        for name in (*NAMES, "planned"):
            batch_op.drop_column(name)
    connection, orders = op.get_bind(), _orders()
    for row in connection.execute(sa.select(orders.c.id, orders.c.number, orders.c.asked)).all():
        text = " ".join((row.number, *_named(row.asked or {}))).casefold()[:1000]
        connection.execute(sa.update(orders).where(orders.c.id == row.id).values(search=text))
