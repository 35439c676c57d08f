"""A finish of several products, and what their sheets say of dryness, wait and wiping off."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0044"
down_revision: str | None = "0043"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

TOLD = ("dry_rh_pct", "next_after_h", "dwell_h")


def upgrade() -> None:
    with op.batch_alter_table("sealer") as batch_op:
        for name in TOLD:
            batch_op.add_column(sa.Column(name, sa.Float(), nullable=True))
    with op.batch_alter_table("pour") as batch_op:
        batch_op.add_column(
            sa.Column("sealer_then", sa.JSON(), nullable=False, server_default="[]")
        )
    with op.batch_alter_table("pour") as batch_op:
        batch_op.alter_column("sealer_then", server_default=None)


def downgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.drop_column("sealer_then")
    with op.batch_alter_table("sealer") as batch_op:
        for name in TOLD:
            batch_op.drop_column(name)
