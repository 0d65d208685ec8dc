"""owner

Revision ID: 0005
Revises: 0004
"""

import sqlalchemy as sa
from alembic import op


revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "enquiry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=100), nullable=False),
        sa.Column("told", sa.JSON(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=True),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("looked_at", sa.DateTime(), nullable=True),
        sa.ForeignKeyConstraint(["order_id"], ["hood_order.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("key"),
        sa.UniqueConstraint("order_id"),
    )
    with op.batch_alter_table("enquiry", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_enquiry_looked_at"), ["looked_at"], unique=False)

    op.create_table(
        "owner_link",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("purpose", sa.String(length=40), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("language", sa.String(length=20), nullable=False),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        sa.Column("expires_at", sa.DateTime(), nullable=False),
        sa.Column("revoked_at", sa.DateTime(), nullable=True),
        sa.ForeignKeyConstraint(["order_id"], ["hood_order.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("token_hash"),
    )
    with op.batch_alter_table("owner_link", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_owner_link_order_id"), ["order_id"], unique=False)

    op.create_table(
        "owner_numbers",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("link_id", sa.Integer(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("told", sa.JSON(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("sent_at", sa.DateTime(), nullable=False),
        sa.Column("settled_at", sa.DateTime(), nullable=True),
        sa.ForeignKeyConstraint(["link_id"], ["owner_link.id"]),
        sa.ForeignKeyConstraint(["order_id"], ["hood_order.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("link_id"),
    )
    with op.batch_alter_table("owner_numbers", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_owner_numbers_order_id"), ["order_id"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("owner_numbers", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_owner_numbers_order_id"))

    op.drop_table("owner_numbers")
    with op.batch_alter_table("owner_link", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_owner_link_order_id"))

    op.drop_table("owner_link")
    with op.batch_alter_table("enquiry", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_enquiry_looked_at"))

    op.drop_table("enquiry")
