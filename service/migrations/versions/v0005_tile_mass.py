"""The mass of a witness tile beside the temperatures."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0005"
down_revision: str | None = "0004"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("reading") as batch_op:
        batch_op.add_column(sa.Column("mass_g", sa.Float(), nullable=True))
        batch_op.create_check_constraint(op.f("ck_reading_mass_positive"), "mass_g > 0")


def downgrade() -> None:
    with op.batch_alter_table("reading") as batch_op:
        batch_op.drop_constraint(op.f("ck_reading_mass_positive"), type_="check")
        batch_op.drop_column("mass_g")
