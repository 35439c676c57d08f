"""Dry polymer in a glass-fibre mix, of the mass of cement; none told: not known."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0022"
down_revision: str | None = "0021"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

RANGE = "ck_mix_polymer_range"


def upgrade() -> None:
    with op.batch_alter_table("mix") as batch_op:
        batch_op.add_column(sa.Column("polymer_pct", sa.Float(), nullable=True))
        batch_op.create_check_constraint(op.f(RANGE), "polymer_pct BETWEEN 0 AND 25")


def downgrade() -> None:
    with op.batch_alter_table("mix") as batch_op:
        batch_op.drop_constraint(op.f(RANGE), type_="check")
        batch_op.drop_column("polymer_pct")
