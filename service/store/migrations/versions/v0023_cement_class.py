"""Strength class of a mix's cement by EN 197-1; none told: not known."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0023"
down_revision: str | None = "0022"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

KNOWN = "ck_mix_cement_class_known"


def upgrade() -> None:
    with op.batch_alter_table("mix") as batch_op:
        batch_op.add_column(sa.Column("cement_class", sa.String(), nullable=True))
        batch_op.create_check_constraint(
            op.f(KNOWN),
            "cement_class IN ('32.5L', '32.5N', '32.5R', '42.5L', '42.5N', '42.5R', "
            "'52.5L', '52.5N', '52.5R')",
        )


def downgrade() -> None:
    with op.batch_alter_table("mix") as batch_op:
        batch_op.drop_constraint(op.f(KNOWN), type_="check")
        batch_op.drop_column("cement_class")
