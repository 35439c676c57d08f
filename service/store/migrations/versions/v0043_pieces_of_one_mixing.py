"""Several pieces of one mixing: the pour whose batches are those of this one too."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0043"
down_revision: str | None = "0042"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

WITH, INDEX = "fk_pour_poured_with_id_pour", "ix_pour_poured_with_id"


def upgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.add_column(sa.Column("poured_with_id", sa.Integer(), nullable=True))
        batch_op.create_foreign_key(op.f(WITH), "pour", ["poured_with_id"], ["id"])
        batch_op.create_index(op.f(INDEX), ["poured_with_id"])


def downgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.drop_index(op.f(INDEX))
        batch_op.drop_constraint(op.f(WITH), type_="foreignkey")
        batch_op.drop_column("poured_with_id")
