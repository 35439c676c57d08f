"""Why windows moved and what a notice says: codes and numbers, where sentences were kept.

A sentence that is there already stays as the one value of the code `text`.
"""

from collections.abc import Callable, Sequence
from typing import Any

import sqlalchemy as sa
from alembic import op

revision: str = "0018"
down_revision: str | None = "0017"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

DOCUMENT = sa.JSON(none_as_null=True)
ONE, SEVERAL = ("missed", "remedy", "why_moved"), ("because", "cautions")


def upgrade() -> None:
    with op.batch_alter_table("projection") as batch_op:
        batch_op.add_column(sa.Column("moved", DOCUMENT, nullable=True))
    _rewrite("projection", "why_moved", "moved", _coded)
    with op.batch_alter_table("projection") as batch_op:
        batch_op.drop_column("why_moved")
    _rewrite("reminder", "facts", "facts", _coded_facts)


def downgrade() -> None:
    with op.batch_alter_table("projection") as batch_op:
        batch_op.add_column(sa.Column("why_moved", sa.String(), nullable=False, server_default=""))
    _rewrite("projection", "moved", "why_moved", _told)
    with op.batch_alter_table("projection") as batch_op:
        batch_op.alter_column("why_moved", server_default=None)
        batch_op.drop_column("moved")
    _rewrite("reminder", "facts", "facts", _told_facts)


def _rewrite(table: str, column: str, into: str, change: Callable[[Any], Any]) -> None:
    """What stands in a column, changed, into the same or another one."""
    why_moved: sa.ColumnClause[Any] = sa.column("why_moved", sa.String())
    documents = [sa.column(name, DOCUMENT) for name in ("moved", "facts")]
    rows = sa.table(table, sa.column("id"), why_moved, *documents)
    connection = op.get_bind()
    for key, value in connection.execute(sa.select(rows.c.id, rows.c[column])).all():
        changed = sa.update(rows).where(rows.c.id == key).values({into: change(value)})
        connection.execute(changed)


def _coded(sentence: str) -> dict[str, Any] | None:
    return {"code": "text", "values": {"text": sentence}} if sentence else None


def _coded_facts(facts: dict[str, Any]) -> dict[str, Any]:
    one = {name: _coded(facts[name]) for name in ONE if name in facts}
    several = {
        name: [_coded(text) for text in _listed(facts[name]) if text]
        for name in SEVERAL
        if name in facts
    }
    return facts | one | several


def _listed(told: Any) -> list[Any]:
    return told if isinstance(told, list) else [told]


def _told(message: dict[str, Any] | None) -> str:
    return "" if message is None else str(message["values"].get("text", message["code"]))


def _told_facts(facts: dict[str, Any]) -> dict[str, Any]:
    one = {name: _told(facts[name]) for name in ONE if name in facts}
    several = {name: [_told(each) for each in facts[name]] for name in SEVERAL if name in facts}
    if "because" in several:
        one["because"] = " ".join(several.pop("because"))
    return facts | one | several
