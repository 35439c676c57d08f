"""A reading whose instrument was wrong: kept, marked, and not counted."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0014"
down_revision: str | None = "0013"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("reading") as batch_op:
        batch_op.add_column(
            sa.Column("wrong", sa.Boolean(), nullable=False, server_default=sa.false())
        )
    with op.batch_alter_table("reading") as batch_op:
        batch_op.alter_column("wrong", server_default=None)


def downgrade() -> None:
    """What was marked as wrong must not count again: it goes with the mark."""
    op.execute("DELETE FROM reading WHERE wrong")
    with op.batch_alter_table("reading") as batch_op:
        batch_op.drop_column("wrong")
