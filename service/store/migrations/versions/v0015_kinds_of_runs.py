"""What kind of run a row of weather is, and whether its place has moved since, beside its name."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0015"
down_revision: str | None = "0014"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

KNOWN = "ck_weather_run_kind_known"
ARCHIVE, PAST, MOVED = "Open-Meteo archive", "earlier runs of ", ", before the place was moved"


def upgrade() -> None:
    """Until now the name said all of it."""
    with op.batch_alter_table("weather_run") as batch_op:
        batch_op.add_column(
            sa.Column("kind", sa.String(), nullable=False, server_default="forecast")
        )
        batch_op.add_column(
            sa.Column("moved", sa.Boolean(), nullable=False, server_default=sa.false())
        )
        batch_op.add_column(sa.Column("heard", sa.JSON(none_as_null=True), nullable=True))
    run = sa.table(
        "weather_run",
        sa.column("id", sa.Integer),
        sa.column("provider", sa.String),
        sa.column("kind", sa.String),
        sa.column("moved", sa.Boolean),
        sa.column("heard", sa.JSON(none_as_null=True)),
    )
    rows = op.get_bind()
    for starts, kind in ((ARCHIVE, "archive"), (PAST, "past")):
        of_kind = run.c.provider.startswith(starts)
        rows.execute(run.update().where(of_kind).values(kind=kind))
    rows.execute(run.update().where(run.c.provider.endswith(MOVED)).values(moved=True))
    folded = sa.select(run.c.id, run.c.provider).where(run.c.kind == "past")
    for key, provider in rows.execute(folded).all():
        heard = provider.removeprefix(PAST).split("; ")
        rows.execute(run.update().where(run.c.id == key).values(heard=heard))
    with op.batch_alter_table("weather_run") as batch_op:
        batch_op.alter_column("kind", server_default=None)
        batch_op.alter_column("moved", server_default=None)
        batch_op.create_check_constraint(op.f(KNOWN), "kind IN ('forecast', 'archive', 'past')")


def downgrade() -> None:
    with op.batch_alter_table("weather_run") as batch_op:
        batch_op.drop_constraint(op.f(KNOWN), type_="check")
        for name in ("kind", "moved", "heard"):
            batch_op.drop_column(name)
