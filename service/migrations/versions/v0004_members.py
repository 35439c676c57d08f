"""The members of a service's ensemble, and what kept forecasts taught of a place."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0004"
down_revision: str | None = "0003"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

COLUMNS = (("weather_run", "ensemble"), ("place", "learned_forecast"))


def upgrade() -> None:
    """Columns that may be empty are added in place: no table is copied, no row is touched."""
    for table, name in COLUMNS:
        with op.batch_alter_table(table) as batch_op:
            batch_op.add_column(sa.Column(name, sa.JSON(), nullable=True))


def downgrade() -> None:
    for table, name in reversed(COLUMNS):
        with op.batch_alter_table(table) as batch_op:
            batch_op.drop_column(name)
