"""What only a scenario file could tell of a mix: how long it can be worked."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0016"
down_revision: str | None = "0015"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("mix") as batch_op:
        batch_op.add_column(sa.Column("working_time_h", sa.Float(), nullable=True))
        batch_op.add_column(
            sa.Column("working_time_C", sa.Float(), nullable=False, server_default="21.0")
        )
    with op.batch_alter_table("mix") as batch_op:
        batch_op.alter_column("working_time_C", server_default=None)


def downgrade() -> None:
    with op.batch_alter_table("mix") as batch_op:
        batch_op.drop_column("working_time_h")
        batch_op.drop_column("working_time_C")
