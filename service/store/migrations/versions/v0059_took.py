"""How many minutes a step took, where somebody told it."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0059"
down_revision: str | None = "0058"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("step_done") as batch_op:
        batch_op.add_column(sa.Column("took_min", sa.Integer(), nullable=True))
        batch_op.create_check_constraint(
            batch_op.f("ck_step_done_took_within_a_day"), "took_min BETWEEN 1 AND 1440"
        )


def downgrade() -> None:
    with op.batch_alter_table("step_done") as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_step_done_took_within_a_day"), type_="check")
        batch_op.drop_column("took_min")
