"""Each person has their own notices; when each is told of one follows from its row.

A notice of before is told to all when it was due; a delivery of before is known by its channel.
"""

from collections.abc import Sequence
from typing import Any

import sqlalchemy as sa
from alembic import op
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0036"
down_revision: str | None = "0035"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

OWN: tuple[tuple[str, Any], ...] = (
    ("notice_kinds", sa.JSON()),
    ("notice_lead_min", sa.Integer()),
    ("quiet_from", sa.Time()),
    ("quiet_to", sa.Time()),
    ("frost_wakes", sa.Boolean()),
    ("may_hear", sa.JSON()),
)
CHECKS = {
    "ck_person_notice_lead_range": "notice_lead_min BETWEEN 0 AND 720",
    "ck_person_quiet_both": "(quiet_from IS NULL) = (quiet_to IS NULL)",
}
WHOSE = (("reminder", "asked_by_id"), ("delivery", "person_id"))
HOURS = ("wanted_at", "until_at", "planned_at", "asked_at")


def upgrade() -> None:
    with op.batch_alter_table("person") as batch_op:
        for name, kind in OWN:
            batch_op.add_column(sa.Column(name, kind, nullable=True))
        batch_op.add_column(
            sa.Column("notice_addresses", sa.JSON(), nullable=False, server_default="[]")
        )
        for name, condition in CHECKS.items():
            batch_op.create_check_constraint(op.f(name), condition)
    with op.batch_alter_table("person") as batch_op:
        batch_op.alter_column("notice_addresses", server_default=None)
    with op.batch_alter_table("reminder") as batch_op:
        for name in HOURS:
            batch_op.add_column(sa.Column(name, UTCDateTime(), nullable=True))
    for table, name in WHOSE:
        with op.batch_alter_table(table) as batch_op:
            batch_op.add_column(sa.Column(name, sa.Integer(), nullable=True))
            batch_op.create_foreign_key(
                op.f(f"fk_{table}_{name}"), "person", [name], ["id"], ondelete="SET NULL"
            )
        op.create_index(op.f(f"ix_{table}_{name}"), table, [name])


def downgrade() -> None:
    for table, name in WHOSE:
        op.drop_index(op.f(f"ix_{table}_{name}"), table_name=table)
        with op.batch_alter_table(table) as batch_op:
            batch_op.drop_constraint(op.f(f"fk_{table}_{name}"), type_="foreignkey")
            batch_op.drop_column(name)
    with op.batch_alter_table("reminder") as batch_op:
        for name in HOURS:
            batch_op.drop_column(name)
    with op.batch_alter_table("person") as batch_op:
        for name in CHECKS:
            batch_op.drop_constraint(op.f(name), type_="check")
        for name in ("notice_addresses", *(name for name, _ in OWN)):
            batch_op.drop_column(name)
