"""sending

Revision ID: 0002
Revises: 0001
"""

import sqlalchemy as sa
from alembic import op


revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "mail_template",
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("language", sa.String(length=20), nullable=False),
        sa.Column("subject", sa.String(length=1000), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("html", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("changed_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("kind", "language"),
    )
    op.create_table(
        "delivery",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("language", sa.String(length=20), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("how", sa.String(length=300), nullable=False),
        sa.Column("reason", sa.String(length=500), nullable=False),
        sa.Column("to_name", sa.String(length=200), nullable=False),
        sa.Column("to_address", sa.String(length=254), nullable=False),
        sa.Column("subject", sa.String(length=300), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("html", sa.String(), nullable=False),
        sa.Column("mark", sa.String(length=40), nullable=False),
        sa.Column("message_id", sa.String(length=300), nullable=True),
        sa.Column("key", sa.String(length=250), nullable=True),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("next_at", sa.DateTime(), nullable=False),
        sa.Column("claimed_until", sa.DateTime(), nullable=True),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("done_at", sa.DateTime(), nullable=True),
        sa.ForeignKeyConstraint(
            ["order_id"],
            ["hood_order.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("key"),
        sa.UniqueConstraint("message_id"),
    )
    with op.batch_alter_table("delivery", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_delivery_order_id"), ["order_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_delivery_state"), ["state"], unique=False)

    op.create_table(
        "paper_copy",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("name", sa.String(length=100), nullable=False),
        sa.Column("media", sa.String(length=100), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("order_version", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["order_id"],
            ["hood_order.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("order_id", "kind", "sha256"),
    )
    op.create_table(
        "confirmation",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("delivery_id", sa.Integer(), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("purpose", sa.String(length=40), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("expires_at", sa.DateTime(), nullable=False),
        sa.Column("used_at", sa.DateTime(), nullable=True),
        sa.ForeignKeyConstraint(
            ["delivery_id"],
            ["delivery.id"],
        ),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("token_hash"),
    )
    with op.batch_alter_table("confirmation", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_confirmation_delivery_id"), ["delivery_id"], unique=False
        )

    op.create_table(
        "delivery_paper",
        sa.Column("delivery_id", sa.Integer(), nullable=False),
        sa.Column("paper_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["delivery_id"],
            ["delivery.id"],
        ),
        sa.ForeignKeyConstraint(
            ["paper_id"],
            ["paper_copy.id"],
        ),
        sa.PrimaryKeyConstraint("delivery_id", "paper_id"),
    )
    with op.batch_alter_table("delivery_paper", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_delivery_paper_paper_id"), ["paper_id"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("delivery_paper", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_delivery_paper_paper_id"))

    op.drop_table("delivery_paper")
    with op.batch_alter_table("confirmation", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_confirmation_delivery_id"))

    op.drop_table("confirmation")
    op.drop_table("paper_copy")
    with op.batch_alter_table("delivery", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_delivery_state"))
        batch_op.drop_index(batch_op.f("ix_delivery_order_id"))

    op.drop_table("delivery")
    op.drop_table("mail_template")
