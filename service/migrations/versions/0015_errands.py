"""long work beside the requests, told by the database

Revision ID: 0015
Revises: 0014
"""

import sqlalchemy as sa
from alembic import op


revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "errand",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("lane", sa.String(length=20), nullable=False),
        sa.Column("runner", sa.String(length=16), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("seen_at", sa.DateTime(), nullable=False),
        sa.Column("over_at", sa.DateTime(), nullable=True),
        sa.Column("done", sa.Integer(), nullable=False),
        sa.Column("whole", sa.Integer(), nullable=False),
        sa.Column("wrong", sa.String(), nullable=False),
        sa.Column("made", sa.LargeBinary(), nullable=True),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("errand", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_errand_at"), ["at"], unique=False)
    with op.batch_alter_table("brought_file", schema=None) as batch_op:
        batch_op.add_column(sa.Column("errand_id", sa.Integer(), nullable=True))
        batch_op.create_foreign_key(
            "fk_brought_file_errand", "errand", ["errand_id"], ["id"], ondelete="SET NULL"
        )


def downgrade() -> None:
    with op.batch_alter_table("brought_file", schema=None) as batch_op:
        batch_op.drop_constraint("fk_brought_file_errand", type_="foreignkey")
        batch_op.drop_column("errand_id")
    with op.batch_alter_table("errand", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_errand_at"))
    op.drop_table("errand")
