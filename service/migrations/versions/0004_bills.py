"""bills

Revision ID: 0004
Revises: 0003
"""

import sqlalchemy as sa
from alembic import op


revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "payment",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("amount", sa.String(length=20), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(["order_id"], ["hood_order.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("payment", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_payment_order_id"), ["order_id"], unique=False)

    op.create_table(
        "bill",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("number", sa.String(length=40), nullable=False),
        sa.Column("issued", sa.Date(), nullable=False),
        sa.Column("total", sa.String(length=20), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("cancels", sa.String(length=40), nullable=False),
        sa.Column("paper_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(["order_id"], ["hood_order.id"]),
        sa.ForeignKeyConstraint(["paper_id"], ["paper_copy.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("number"),
    )
    with op.batch_alter_table("bill", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_bill_order_id"), ["order_id"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("bill", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_bill_order_id"))

    op.drop_table("bill")
    with op.batch_alter_table("payment", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_payment_order_id"))

    op.drop_table("payment")
