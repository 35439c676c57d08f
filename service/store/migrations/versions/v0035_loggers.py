"""How the files of a logger are read."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0035"
down_revision: str | None = "0034"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

TEXTS = (
    *("name", "delimiter", "decimal"),
    *("date_column", "time_column", "air_column", "wet_column", "unit", "zone"),
)


def upgrade() -> None:
    op.create_table(
        "logger",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", UTCDateTime(), nullable=False),
        *(sa.Column(name, sa.String(), nullable=False) for name in TEXTS),
        sa.Column("month_first", sa.Boolean(), nullable=False),
        sa.CheckConstraint("unit IN ('C', 'F')", name=op.f("ck_logger_unit_known")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_logger")),
        sa.UniqueConstraint("name", name=op.f("uq_logger_name")),
    )


def downgrade() -> None:
    op.drop_table("logger")
