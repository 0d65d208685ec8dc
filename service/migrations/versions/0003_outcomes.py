"""outcomes

Revision ID: 0003
Revises: 0002
"""

import sqlalchemy as sa
from alembic import op


revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "learned",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("offsets", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_table(
        "outcome",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("dog_id", sa.Integer(), nullable=False),
        sa.Column("yarn", sa.String(length=200), nullable=False),
        sa.Column("told", sa.JSON(), nullable=False),
        sa.Column("said", sa.JSON(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(["dog_id"], ["dog.id"]),
        sa.ForeignKeyConstraint(["order_id"], ["hood_order.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("order_id"),
    )
    with op.batch_alter_table("outcome", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_outcome_dog_id"), ["dog_id"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("outcome", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_outcome_dog_id"))

    op.drop_table("outcome")
    op.drop_table("learned")
