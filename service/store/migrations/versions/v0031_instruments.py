"""Which instrument sent a reading by itself, and whether another beside it counts in its place."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0031"
down_revision: str | None = "0030"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

SAME = ("place_id", "instrument", "at", "kind", "pour_id")
NAME = f"uq_reading_{'_'.join(SAME)}"


def upgrade() -> None:
    with op.batch_alter_table("reading") as batch_op:
        batch_op.add_column(sa.Column("instrument", sa.String(), nullable=True))
        batch_op.add_column(
            sa.Column("spare", sa.Boolean(), nullable=False, server_default=sa.false())
        )
        batch_op.create_unique_constraint(op.f(NAME), list(SAME))
    with op.batch_alter_table("reading") as batch_op:
        batch_op.alter_column("spare", server_default=None)


def downgrade() -> None:
    with op.batch_alter_table("reading") as batch_op:
        batch_op.drop_constraint(op.f(NAME), type_="unique")
        batch_op.drop_column("spare")
        batch_op.drop_column("instrument")
