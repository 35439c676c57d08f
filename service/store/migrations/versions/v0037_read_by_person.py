"""Units, language and clock of each person, in which they are told of notices."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0037"
down_revision: str | None = "0036"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("person") as batch_op:
        batch_op.add_column(sa.Column("reads", sa.JSON(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("person") as batch_op:
        batch_op.drop_column("reads")
