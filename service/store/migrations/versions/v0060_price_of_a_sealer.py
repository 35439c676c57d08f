"""What a litre of a sealer costs, where it is not what the shop pays for any."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0060"
down_revision: str | None = "0059"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("sealer") as batch_op:
        batch_op.add_column(sa.Column("price_l", sa.Float(), nullable=True))
        batch_op.create_check_constraint(batch_op.f("ck_sealer_price_not_negative"), "price_l >= 0")


def downgrade() -> None:
    with op.batch_alter_table("sealer") as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_sealer_price_not_negative"), type_="check")
        batch_op.drop_column("price_l")
