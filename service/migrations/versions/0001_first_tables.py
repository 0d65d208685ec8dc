"""first tables

Revision ID: 0001
Revises:
"""

import sqlalchemy as sa
from alembic import op


revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "buyer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("email", sa.String(length=254), nullable=False),
        sa.Column("phone", sa.String(length=60), nullable=False),
        sa.Column("address", sa.String(length=1000), nullable=False),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("buyer", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_buyer_email"), ["email"], unique=False)
        batch_op.create_index(batch_op.f("ix_buyer_name"), ["name"], unique=False)

    op.create_table(
        "counter",
        sa.Column("name", sa.String(length=20), nullable=False),
        sa.Column("value", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("name"),
    )
    op.create_table(
        "shop",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("settings", sa.JSON(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_table(
        "yarn",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("details", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("yarn", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_yarn_name"), ["name"], unique=False)

    op.create_table(
        "dog",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("buyer_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("details", sa.JSON(), nullable=False),
        sa.Column("measurements", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(
            ["buyer_id"],
            ["buyer.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("dog", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_dog_buyer_id"), ["buyer_id"], unique=False)

    op.create_table(
        "hood_order",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(length=20), nullable=False),
        sa.Column("buyer_id", sa.Integer(), nullable=False),
        sa.Column("dog_id", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("due", sa.Date(), nullable=True),
        sa.Column("asked", sa.JSON(), nullable=False),
        sa.Column("rates", sa.JSON(), nullable=False),
        sa.Column("findings", sa.JSON(), nullable=False),
        sa.Column("plan", sa.JSON(), nullable=True),
        sa.Column("engine", sa.String(length=20), nullable=False),
        sa.Column("search", sa.String(length=1000), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("changed_at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["buyer_id"],
            ["buyer.id"],
        ),
        sa.ForeignKeyConstraint(
            ["dog_id"],
            ["dog.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("number"),
    )
    with op.batch_alter_table("hood_order", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_hood_order_buyer_id"), ["buyer_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_hood_order_dog_id"), ["dog_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_hood_order_due"), ["due"], unique=False)
        batch_op.create_index(batch_op.f("ix_hood_order_state"), ["state"], unique=False)

    op.create_table(
        "order_event",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.Column("change", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(
            ["order_id"],
            ["hood_order.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("order_event", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_order_event_order_id"), ["order_id"], unique=False)

    op.create_table(
        "remembered_key",
        sa.Column("key", sa.String(length=200), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["order_id"],
            ["hood_order.id"],
        ),
        sa.PrimaryKeyConstraint("key"),
    )
    with op.batch_alter_table("remembered_key", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_remembered_key_order_id"), ["order_id"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("remembered_key", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_remembered_key_order_id"))

    op.drop_table("remembered_key")
    with op.batch_alter_table("order_event", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_order_event_order_id"))

    op.drop_table("order_event")
    with op.batch_alter_table("hood_order", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_hood_order_state"))
        batch_op.drop_index(batch_op.f("ix_hood_order_due"))
        batch_op.drop_index(batch_op.f("ix_hood_order_dog_id"))
        batch_op.drop_index(batch_op.f("ix_hood_order_buyer_id"))

    op.drop_table("hood_order")
    with op.batch_alter_table("dog", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_dog_buyer_id"))

    op.drop_table("dog")
    with op.batch_alter_table("yarn", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_yarn_name"))

    op.drop_table("yarn")
    op.drop_table("shop")
    op.drop_table("counter")
    with op.batch_alter_table("buyer", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_buyer_name"))
        batch_op.drop_index(batch_op.f("ix_buyer_email"))

    op.drop_table("buyer")
