"""Admixture, sheet of the mill, and the error of a fitted energy, of a mix."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0003"
down_revision: str | None = "0002"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    """Columns that may be empty: rows of before have no admixture and no sheet."""
    with op.batch_alter_table("mix") as batch_op:
        batch_op.add_column(sa.Column("activation_energy_error_kJ_mol", sa.Float(), nullable=True))
        batch_op.add_column(sa.Column("admixture", sa.String(), nullable=True))
        batch_op.add_column(sa.Column("cement", sa.JSON(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("mix") as batch_op:
        for name in ("cement", "admixture", "activation_energy_error_kJ_mol"):
            batch_op.drop_column(name)
