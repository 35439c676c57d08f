"""What a day of a mould, a cover and a day of heating cost the shop; none told: days alone."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0027"
down_revision: str | None = "0026"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("shop") as batch_op:
        batch_op.add_column(sa.Column("currency", sa.String(), nullable=True))
        batch_op.add_column(sa.Column("prices", sa.JSON(), nullable=False, server_default="{}"))
    with op.batch_alter_table("shop") as batch_op:
        batch_op.alter_column("prices", server_default=None)


def downgrade() -> None:
    with op.batch_alter_table("shop") as batch_op:
        batch_op.drop_column("prices")
        batch_op.drop_column("currency")
