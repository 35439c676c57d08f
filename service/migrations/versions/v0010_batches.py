"""Batches of a pour, one by one."""

from collections.abc import Sequence

import sqlalchemy as sa
import sqlmodel.sql.sqltypes
from alembic import op

revision: str = "0010"
down_revision: str | None = "0009"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    """A new table: no row there is touched."""
    op.create_table(
        "batch",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("pour_id", sa.Integer(), nullable=False),
        sa.Column("at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("bags", sa.Float(), nullable=True),
        sa.Column("water_l", sa.Float(), nullable=True),
        sa.Column("concrete_C", sa.Float(), nullable=True),
        sa.Column("note", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.CheckConstraint("bags > 0", name=op.f("ck_batch_bags_positive")),
        sa.CheckConstraint("water_l >= 0", name=op.f("ck_batch_water_not_negative")),
        sa.CheckConstraint('"concrete_C" BETWEEN 1 AND 50', name=op.f("ck_batch_concrete_range")),
        sa.ForeignKeyConstraint(
            ["pour_id"], ["pour.id"], name=op.f("fk_batch_pour_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_batch")),
    )
    with op.batch_alter_table("batch", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_batch_pour_id"), ["pour_id"], unique=False)


def downgrade() -> None:
    op.drop_table("batch")
