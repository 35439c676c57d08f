"""What was ticked of the check list before a pour."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0050"
down_revision: str | None = "0049"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.add_column(sa.Column("ticked", sa.JSON(), nullable=False, server_default="{}"))
    with op.batch_alter_table("pour") as batch_op:
        batch_op.alter_column("ticked", server_default=None)


def downgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.drop_column("ticked")
