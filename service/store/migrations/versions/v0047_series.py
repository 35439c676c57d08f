"""Pours of a series: the first of it, and how many are to be made."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0047"
down_revision: str | None = "0046"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.add_column(sa.Column("series_of", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("series_id", sa.Integer(), nullable=True))
        batch_op.create_foreign_key(batch_op.f("fk_pour_series_id"), "pour", ["series_id"], ["id"])
        batch_op.create_index(batch_op.f("ix_pour_series_id"), ["series_id"])
        batch_op.create_check_constraint(batch_op.f("ck_pour_series_positive"), "series_of > 0")


def downgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_pour_series_positive"), type_="check")
        batch_op.drop_index("ix_pour_series_id")
        batch_op.drop_constraint(batch_op.f("fk_pour_series_id"), type_="foreignkey")
        batch_op.drop_column("series_id")
        batch_op.drop_column("series_of")
