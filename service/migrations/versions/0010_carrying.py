"""carrying

Revision ID: 0010
Revises: 0007
"""

import sqlalchemy as sa
from alembic import op


revision = "0010"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("buyer", schema=None) as batch_op:
        batch_op.add_column(sa.Column("erased_at", sa.DateTime(), nullable=True))
    op.create_table(
        "brought_file",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("yarn", sa.String(length=200), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=True),
        sa.Column("report", sa.JSON(), nullable=True),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("done_at", sa.DateTime(), nullable=True),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("brought_file", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_brought_file_digest"), ["digest"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("brought_file", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_brought_file_digest"))
    op.drop_table("brought_file")
    with op.batch_alter_table("buyer", schema=None) as batch_op:
        batch_op.drop_column("erased_at")
