"""Whether the piece of a pour goes to a client."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0053"
down_revision: str | None = "0052"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.add_column(
            sa.Column("delivered", sa.Boolean(), nullable=False, server_default=sa.false())
        )
    with op.batch_alter_table("pour") as batch_op:
        batch_op.alter_column("delivered", server_default=None)


def downgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.drop_column("delivered")
