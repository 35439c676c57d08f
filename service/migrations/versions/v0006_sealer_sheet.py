"""What more a sealer's sheet says: dew-point margin, hold, rain, coverage, light and full use."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0006"
down_revision: str | None = "0005"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

NUMBERS = (
    "dew_margin_K",
    "hold_h",
    "rain_free_h",
    "coverage_m2_l",
    "light_use_h",
    "full_use_h",
)
USE_ORDER = "ck_sealer_use_order"


def upgrade() -> None:
    with op.batch_alter_table("sealer") as batch_op:
        for name in NUMBERS:
            batch_op.add_column(sa.Column(name, sa.Float(), nullable=True))
        batch_op.create_check_constraint(op.f(USE_ORDER), "full_use_h >= light_use_h")


def downgrade() -> None:
    with op.batch_alter_table("sealer") as batch_op:
        batch_op.drop_constraint(op.f(USE_ORDER), type_="check")
        for name in reversed(NUMBERS):
            batch_op.drop_column(name)
