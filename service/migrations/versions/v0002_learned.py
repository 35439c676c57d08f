"""What readings and results taught of a place and of a mix."""

from collections.abc import Sequence

import sqlalchemy as sa
import sqlmodel.sql.sqltypes
from alembic import op

revision: str = "0002"
down_revision: str | None = "0001"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

NUMBERS = {
    "place": (
        "learned_lag_h",
        "learned_lag_spread",
        "learned_offset_K",
        "learned_offset_sd_K",
    ),
    "mix": (
        "learned_strength_factor",
        "learned_strength_sd",
        "learned_set_factor",
        "learned_set_sd",
    ),
}
INSTANTS = ("learned_at", "forgotten_at")


def upgrade() -> None:
    """Columns that may be empty are added in place: no table is copied, no row is touched."""
    for table, numbers in NUMBERS.items():
        with op.batch_alter_table(table) as batch_op:
            for name in numbers:
                batch_op.add_column(sa.Column(name, sa.Float(), nullable=True))
            batch_op.add_column(sa.Column("learned_from_count", sa.Integer(), nullable=True))
            for name in INSTANTS:
                batch_op.add_column(
                    sa.Column(name, sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True)
                )
    with op.batch_alter_table("pour") as batch_op:
        batch_op.add_column(sa.Column("learned", sa.JSON(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.drop_column("learned")
    for table, numbers in NUMBERS.items():
        with op.batch_alter_table(table) as batch_op:
            for name in (*INSTANTS, "learned_from_count", *numbers):
                batch_op.drop_column(name)
