"""what was changed of how somebody comes in

Revision ID: 0013
Revises: 0008
"""

import sqlalchemy as sa
from alembic import op


revision = "0013"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "door_event",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("account_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("about", sa.String(length=60), nullable=False),
        sa.Column("by", sa.String(length=60), nullable=False),
        sa.Column("seen_in", sa.String(length=64), nullable=False),
        sa.Column("known_at", sa.DateTime(), nullable=True),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("reason", sa.String(length=500), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("next_at", sa.DateTime(), nullable=False),
        sa.Column("claimed_until", sa.DateTime(), nullable=True),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("door_event", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_door_event_account_id"), ["account_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_door_event_state"), ["state"], unique=False)


def downgrade() -> None:
    op.drop_table("door_event")
