"""Answers and hourly bands of projections are kept packed, a fifth of their length."""

from collections.abc import Callable, Sequence
from typing import Any

import sqlalchemy as sa
from alembic import op

from models.records.packed import packed, unpacked

revision: str = "0056"
down_revision: str | None = "0055"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

AT_ONCE = 200  # rows of some 200 kB in memory
TABLE = sa.table(
    "projection",
    sa.column("id", sa.Integer),
    sa.column("answer", sa.JSON),
    sa.column("concrete", sa.JSON(none_as_null=True)),
)


def upgrade() -> None:
    _rewrite(lambda answer, hours: (packed(answer), None if hours is None else packed(hours)))


def downgrade() -> None:
    _rewrite(lambda answer, hours: (unpacked(answer), _as_before(unpacked(hours))))


def _as_before(hours: Any) -> Any:
    """Bands as they were told; of those in whole steps nothing: they are reckoned again."""
    return None if hours is None or "start" in hours else hours


def _rewrite(change: Callable[[Any, Any], tuple[Any, Any]]) -> None:
    connection, last = op.get_bind(), 0
    wanted = sa.select(TABLE).order_by(TABLE.c.id).limit(AT_ONCE)
    while rows := connection.execute(wanted.where(TABLE.c.id > last)).all():
        last = rows[-1].id
        for key, answer, hours in rows:
            answer, hours = change(answer, hours)
            connection.execute(
                sa.update(TABLE).where(TABLE.c.id == key).values(answer=answer, concrete=hours)
            )
