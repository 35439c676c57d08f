"""A mix has a recipe by weight, and its label says how much water goes into a bag."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0040"
down_revision: str | None = "0039"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

WATER = ("bag_water_least_l", "bag_water_most_l")
CHECK = "ck_mix_bag_water_order"


def upgrade() -> None:
    with op.batch_alter_table("mix") as batch_op:
        for name in WATER:
            batch_op.add_column(sa.Column(name, sa.Float(), nullable=True))
        batch_op.add_column(sa.Column("recipe", sa.JSON(), nullable=False, server_default="[]"))
        batch_op.create_check_constraint(op.f(CHECK), f"{WATER[1]} >= {WATER[0]}")
    with op.batch_alter_table("mix") as batch_op:
        batch_op.alter_column("recipe", server_default=None)


def downgrade() -> None:
    with op.batch_alter_table("mix") as batch_op:
        batch_op.drop_constraint(op.f(CHECK), type_="check")
        for name in ("recipe", *WATER):
            batch_op.drop_column(name)
