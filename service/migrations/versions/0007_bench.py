"""bench

Revision ID: 0007
Revises: 0006
"""

import sqlalchemy as sa
from alembic import op


revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "bench_event",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(length=64), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("plan", sa.String(length=64), nullable=False),
        sa.Column("step", sa.String(length=40), nullable=False),
        sa.Column("details", sa.JSON(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("kept_at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(["order_id"], ["hood_order.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("order_id", "uid"),
    )
    with op.batch_alter_table("bench_event", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_bench_event_order_id"), ["order_id"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("bench_event", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_bench_event_order_id"))

    op.drop_table("bench_event")
