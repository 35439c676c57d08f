"""Browsers that take notices; a test is a delivery too; which notices a shop wants, and when."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0029"
down_revision: str | None = "0028"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

KINDS = '["opens", "closes", "frost", "rain", "wind"]'
LEAD = "ck_shop_notice_lead_range"


def upgrade() -> None:
    op.create_table(
        "push_subscription",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", UTCDateTime(), nullable=False),
        *(
            sa.Column(name, sa.String(), nullable=False)
            for name in ("endpoint", "p256dh", "auth", "address", "device")
        ),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(
            ["person_id"],
            ["person.id"],
            name=op.f("fk_push_subscription_person_id"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_push_subscription")),
        sa.UniqueConstraint("endpoint", name=op.f("uq_push_subscription_endpoint")),
    )
    op.create_index(op.f("ix_push_subscription_person_id"), "push_subscription", ["person_id"])
    with op.batch_alter_table("delivery") as batch_op:
        batch_op.alter_column("reminder_id", existing_type=sa.Integer(), nullable=True)
    with op.batch_alter_table("shop") as batch_op:
        batch_op.add_column(
            sa.Column("notice_kinds", sa.JSON(), nullable=False, server_default=KINDS)
        )
        batch_op.add_column(
            sa.Column("notice_lead_min", sa.Integer(), nullable=False, server_default="0")
        )
        batch_op.add_column(
            sa.Column("frost_wakes", sa.Boolean(), nullable=False, server_default=sa.true())
        )
        batch_op.create_check_constraint(op.f(LEAD), "notice_lead_min BETWEEN 0 AND 720")
    with op.batch_alter_table("shop") as batch_op:
        for name in ("notice_kinds", "notice_lead_min", "frost_wakes"):
            batch_op.alter_column(name, server_default=None)


def downgrade() -> None:
    with op.batch_alter_table("shop") as batch_op:
        batch_op.drop_constraint(op.f(LEAD), type_="check")
        for name in ("notice_kinds", "notice_lead_min", "frost_wakes"):
            batch_op.drop_column(name)
    op.execute("DELETE FROM delivery WHERE reminder_id IS NULL")
    with op.batch_alter_table("delivery") as batch_op:
        batch_op.alter_column("reminder_id", existing_type=sa.Integer(), nullable=False)
    op.drop_table("push_subscription")
