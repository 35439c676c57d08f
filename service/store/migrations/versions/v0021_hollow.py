"""Whether a place is colder than around on clear nights; none told: not known."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0021"
down_revision: str | None = "0020"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

KNOWN = "ck_place_hollow_known"


def upgrade() -> None:
    with op.batch_alter_table("place") as batch_op:
        batch_op.add_column(sa.Column("hollow", sa.String(), nullable=True))
        batch_op.create_check_constraint(op.f(KNOWN), "hollow IN ('no', 'a little', 'a hollow')")


def downgrade() -> None:
    with op.batch_alter_table("place") as batch_op:
        batch_op.drop_constraint(op.f(KNOWN), type_="check")
        batch_op.drop_column("hollow")
