"""The unit of a bare number, chosen by the shop."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0013"
down_revision: str | None = "0012"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

KNOWN = "ck_shop_units_known"


def upgrade() -> None:
    with op.batch_alter_table("shop") as batch_op:
        batch_op.add_column(sa.Column("units", sa.String(), nullable=True))
        batch_op.create_check_constraint(op.f(KNOWN), "units IN ('si', 'us')")


def downgrade() -> None:
    with op.batch_alter_table("shop") as batch_op:
        batch_op.drop_constraint(op.f(KNOWN), type_="check")
        batch_op.drop_column("units")
