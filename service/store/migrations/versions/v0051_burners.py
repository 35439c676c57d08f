"""A burner that goes in a piece, and whether it was connected and tried."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0051"
down_revision: str | None = "0050"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

TOLD = (("piece", "burner"), ("pour", "burner_fitted"))


def upgrade() -> None:
    for table, name in TOLD:
        with op.batch_alter_table(table) as batch_op:
            column: sa.Column[bool] = sa.Column(
                name, sa.Boolean(), nullable=False, server_default=sa.false()
            )
            batch_op.add_column(column)
        with op.batch_alter_table(table) as batch_op:
            batch_op.alter_column(name, server_default=None)


def downgrade() -> None:
    for table, name in TOLD:
        with op.batch_alter_table(table) as batch_op:
            batch_op.drop_column(name)
