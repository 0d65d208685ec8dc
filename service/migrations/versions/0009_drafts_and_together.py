"""drafts and together

Revision ID: 0009
Revises: 0010
"""

import sqlalchemy as sa
from alembic import op


revision = "0009"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "order_draft",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=100), nullable=False),
        sa.Column("typed", sa.JSON(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("key"),
    )
    with op.batch_alter_table("order_draft", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_order_draft_at"), ["at"], unique=False)
    op.create_table(
        "together",
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("first_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["first_id"], ["hood_order.id"]),
        sa.ForeignKeyConstraint(["order_id"], ["hood_order.id"]),
        sa.PrimaryKeyConstraint("order_id"),
    )
    with op.batch_alter_table("together", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_together_first_id"), ["first_id"], unique=False)
    with op.batch_alter_table("bill", schema=None) as batch_op:
        batch_op.add_column(sa.Column("hoods", sa.JSON(), server_default="[]", nullable=False))


def downgrade() -> None:
    with op.batch_alter_table("bill", schema=None) as batch_op:
        batch_op.drop_column("hoods")
    with op.batch_alter_table("together", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_together_first_id"))
    op.drop_table("together")
    with op.batch_alter_table("order_draft", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_order_draft_at"))
    op.drop_table("order_draft")
