"""A shop tells what its mixer holds, its scale reads to and its heater takes."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0048"
down_revision: str | None = "0047"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

TOLD = ("mixer_l", "scale_g", "heater_kW")
CHECK = "ck_shop_mixing_positive"


def upgrade() -> None:
    with op.batch_alter_table("shop") as batch_op:
        for name in TOLD:
            batch_op.add_column(sa.Column(name, sa.Float(), nullable=True))
        batch_op.create_check_constraint(op.f(CHECK), "mixer_l > 0 AND scale_g > 0")


def downgrade() -> None:
    with op.batch_alter_table("shop") as batch_op:
        batch_op.drop_constraint(op.f(CHECK), type_="check")
        for name in reversed(TOLD):
            batch_op.drop_column(name)
