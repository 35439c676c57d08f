"""How long placing takes, and what is done against drying: told in scenario files alone before."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0017"
down_revision: str | None = "0016"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.add_column(sa.Column("placing_h", sa.Float(), nullable=True))
        batch_op.add_column(sa.Column("measures", sa.JSON(), nullable=False, server_default="[]"))
    with op.batch_alter_table("pour") as batch_op:
        batch_op.alter_column("measures", server_default=None)


def downgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.drop_column("placing_h")
        batch_op.drop_column("measures")
