"""How the walls of a mould are held: ribs, its rim, screws."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0049"
down_revision: str | None = "0048"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

LENGTHS = ("brace_spacing_mm", "screw_spacing_mm", "screw_diameter_mm", "screw_length_mm")


def upgrade() -> None:
    with op.batch_alter_table("mould") as batch_op:
        for name in LENGTHS:
            batch_op.add_column(sa.Column(name, sa.Float(), nullable=True))
        batch_op.add_column(
            sa.Column("rim_held", sa.Boolean(), nullable=False, server_default=sa.false())
        )
    with op.batch_alter_table("mould") as batch_op:
        batch_op.alter_column("rim_held", server_default=None)


def downgrade() -> None:
    with op.batch_alter_table("mould") as batch_op:
        for name in (*LENGTHS, "rim_held"):
            batch_op.drop_column(name)
