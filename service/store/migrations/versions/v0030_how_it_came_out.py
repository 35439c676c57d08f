"""How a piece came out of its mould, and how it had held up a month later."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0030"
down_revision: str | None = "0029"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

NEW = (("step_done", "came_out"), ("pour", "held_up"))


def upgrade() -> None:
    for table, column in NEW:
        with op.batch_alter_table(table) as batch_op:
            batch_op.add_column(sa.Column(column, sa.String(), nullable=True))


def downgrade() -> None:
    for table, column in NEW:
        with op.batch_alter_table(table) as batch_op:
            batch_op.drop_column(column)
