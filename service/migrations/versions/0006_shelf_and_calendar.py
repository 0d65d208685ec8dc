"""shelf and calendar

Revision ID: 0006
Revises: 0005
"""

import sqlalchemy as sa
from alembic import op


revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("yarn", schema=None) as batch_op:
        batch_op.add_column(sa.Column("version", sa.Integer(), server_default="1", nullable=False))
    lot = op.create_table(
        "yarn_lot",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("yarn_id", sa.Integer(), nullable=False),
        sa.Column("colour", sa.String(length=60), nullable=False),
        sa.Column("lot", sa.String(length=200), nullable=False),
        sa.Column("balls", sa.Float(), nullable=False),
        sa.ForeignKeyConstraint(["yarn_id"], ["yarn.id"]),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("yarn_id", "colour", "lot"),
    )
    with op.batch_alter_table("yarn_lot", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_yarn_lot_yarn_id"), ["yarn_id"], unique=False)
    op.create_table(
        "yarn_swatch",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("yarn_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("details", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["yarn_id"], ["yarn.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("yarn_swatch", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_yarn_swatch_yarn_id"), ["yarn_id"], unique=False)
    op.create_table(
        "yarn_use",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("yarn", sa.String(length=200), nullable=False),
        sa.Column("colour", sa.String(length=60), nullable=False),
        sa.Column("lot", sa.String(length=200), nullable=False),
        sa.Column("balls", sa.Float(), nullable=False),
        sa.ForeignKeyConstraint(["order_id"], ["hood_order.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    with op.batch_alter_table("yarn_use", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_yarn_use_order_id"), ["order_id"], unique=False)
    op.create_table(
        "calendar_link",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("token_hash"),
    )
    _lots_of_before(lot)


def _lots_of_before(lot: sa.Table) -> None:
    """Give each yarn the lot that its ball band told; nobody has counted its balls yet."""
    yarn = sa.table("yarn", sa.column("id", sa.Integer()), sa.column("details", sa.JSON()))
    for yarn_id, details in op.get_bind().execute(sa.select(yarn.c.id, yarn.c.details)).all():
        if details.get("lot"):
            row = {"yarn_id": yarn_id, "colour": "", "lot": details["lot"], "balls": 0.0}
            op.get_bind().execute(lot.insert().values(**row))


def downgrade() -> None:
    op.drop_table("calendar_link")
    with op.batch_alter_table("yarn_use", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_yarn_use_order_id"))
    op.drop_table("yarn_use")
    with op.batch_alter_table("yarn_swatch", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_yarn_swatch_yarn_id"))
    op.drop_table("yarn_swatch")
    with op.batch_alter_table("yarn_lot", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_yarn_lot_yarn_id"))
    op.drop_table("yarn_lot")
    with op.batch_alter_table("yarn", schema=None) as batch_op:
        batch_op.drop_column("version")
