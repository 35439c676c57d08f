"""How thick a batch lies, which layer it is, and of which mix."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0039"
down_revision: str | None = "0038"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

THICKNESS, MIX = "ck_batch_thickness_positive", "fk_batch_mix_id_mix"


def upgrade() -> None:
    with op.batch_alter_table("batch") as batch_op:
        batch_op.add_column(sa.Column("thickness_mm", sa.Float(), nullable=True))
        batch_op.add_column(sa.Column("layer", sa.String(), nullable=True))
        batch_op.add_column(sa.Column("mix_id", sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column("mixed", sa.JSON(none_as_null=True), nullable=True))
        batch_op.create_check_constraint(op.f(THICKNESS), "thickness_mm > 0")
        batch_op.create_foreign_key(op.f(MIX), "mix", ["mix_id"], ["id"])


def downgrade() -> None:
    with op.batch_alter_table("batch") as batch_op:
        batch_op.drop_constraint(op.f(MIX), type_="foreignkey")
        batch_op.drop_constraint(op.f(THICKNESS), type_="check")
        for name in ("mixed", "mix_id", "layer", "thickness_mm"):
            batch_op.drop_column(name)
