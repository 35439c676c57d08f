"""How high a place lies, for services that correct their temperatures by it."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0012"
down_revision: str | None = "0011"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

RANGE = "ck_place_altitude_range"


def upgrade() -> None:
    with op.batch_alter_table("place") as batch_op:
        batch_op.add_column(sa.Column("altitude_m", sa.Float(), nullable=True))
        batch_op.create_check_constraint(op.f(RANGE), "altitude_m BETWEEN -500 AND 9000")


def downgrade() -> None:
    with op.batch_alter_table("place") as batch_op:
        batch_op.drop_constraint(op.f(RANGE), type_="check")
        batch_op.drop_column("altitude_m")
