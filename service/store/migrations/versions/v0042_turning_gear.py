"""What a shop turns pieces with, and how many lift together."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0042"
down_revision: str | None = "0041"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("shop") as batch_op:
        batch_op.add_column(sa.Column("gear", sa.JSON(), nullable=False, server_default="[]"))
        batch_op.add_column(sa.Column("lifters", sa.Integer(), nullable=True))
        batch_op.create_check_constraint(op.f("ck_shop_lifters_range"), "lifters BETWEEN 1 AND 20")
    with op.batch_alter_table("shop") as batch_op:
        batch_op.alter_column("gear", server_default=None)


def downgrade() -> None:
    with op.batch_alter_table("shop") as batch_op:
        batch_op.drop_constraint(op.f("ck_shop_lifters_range"), type_="check")
        batch_op.drop_column("lifters")
        batch_op.drop_column("gear")
