"""Whose rules of concrete the shop goes by: ACI or EN; none told: by the region of the place."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0019"
down_revision: str | None = "0018"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

KNOWN = "ck_shop_code_known"


def upgrade() -> None:
    with op.batch_alter_table("shop") as batch_op:
        batch_op.add_column(sa.Column("code", sa.String(), nullable=True))
        batch_op.create_check_constraint(op.f(KNOWN), "code IN ('ACI', 'EN')")


def downgrade() -> None:
    with op.batch_alter_table("shop") as batch_op:
        batch_op.drop_constraint(op.f(KNOWN), type_="check")
        batch_op.drop_column("code")
