"""Orders, pours that are set, the plan of them all; hands and days of the shop."""

import json
from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0045"
down_revision: str | None = "0044"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

SUBJECT, HANDS = "ck_duty_subject", "ck_shop_hands_range"
DAYS = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
OF_A_ROW = (
    "(kind = 'weather' AND place_id IS NOT NULL AND pour_id IS NULL)"
    " OR (kind = 'projection' AND pour_id IS NOT NULL AND place_id IS NULL)"
)


def upgrade() -> None:
    op.create_table(
        "client_order",
        *_row(),
        sa.Column("archived_at", UTCDateTime(), nullable=True),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("due_at", UTCDateTime(), nullable=False),
        sa.Column("together", sa.Boolean(), nullable=False),
        sa.Column("assembly_h", sa.Float(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("parts", sa.JSON(), nullable=False),
        sa.CheckConstraint(
            "assembly_h BETWEEN 0 AND 1000", name=op.f("ck_client_order_assembly_range")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_client_order")),
        sa.UniqueConstraint("name", name=op.f("uq_client_order_name")),
    )
    op.create_table(
        "pinned_pour",
        *_row(),
        _key("order_id", "client_order", ondelete="CASCADE"),
        _key("piece_id", "piece"),
        sa.Column("number", sa.Integer(), nullable=False),
        _key("mould_id", "mould"),
        sa.Column("start_at", UTCDateTime(), nullable=False),
        sa.CheckConstraint("number > 0", name=op.f("ck_pinned_pour_number_positive")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pinned_pour")),
        sa.UniqueConstraint("order_id", "piece_id", "number", name=op.f("uq_pinned_pour_piece")),
    )
    for name in ("order_id", "piece_id", "mould_id"):
        op.create_index(op.f(f"ix_pinned_pour_{name}"), "pinned_pour", [name])
    op.create_table(
        "order_plan",
        *_row(),
        sa.Column("made_at", UTCDateTime(), nullable=True),
        sa.Column("inputs", sa.JSON(), nullable=False),
        sa.Column("answer", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("begun_at", UTCDateTime(), nullable=True),
        sa.Column("steps_done", sa.Integer(), nullable=False),
        sa.Column("steps", sa.Integer(), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_order_plan_one_row")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_order_plan")),
    )
    with op.batch_alter_table("shop") as batch_op:
        batch_op.add_column(sa.Column("hands", sa.Integer(), nullable=False, server_default="1"))
        batch_op.add_column(
            sa.Column("working_days", sa.JSON(), nullable=False, server_default=json.dumps(DAYS))
        )
        batch_op.create_check_constraint(op.f(HANDS), "hands BETWEEN 1 AND 50")
    with op.batch_alter_table("shop") as batch_op:
        batch_op.alter_column("hands", server_default=None)
        batch_op.alter_column("working_days", server_default=None)
    _subject("kind IN ('beat', 'plan')")


def downgrade() -> None:
    op.execute("DELETE FROM duty WHERE kind = 'plan'")
    _subject("kind = 'beat'")
    with op.batch_alter_table("shop") as batch_op:
        batch_op.drop_constraint(op.f(HANDS), type_="check")
        for name in ("working_days", "hands"):
            batch_op.drop_column(name)
    for table in ("order_plan", "pinned_pour", "client_order"):
        op.drop_table(table)


def _subject(alone: str) -> None:
    with op.batch_alter_table("duty") as batch_op:
        batch_op.drop_constraint(op.f(SUBJECT), type_="check")
        batch_op.create_check_constraint(
            op.f(SUBJECT), f"{OF_A_ROW} OR ({alone} AND pour_id IS NULL AND place_id IS NULL)"
        )


def _row() -> tuple[sa.Column[int], sa.Column[object]]:
    return (
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", UTCDateTime(), nullable=False),
    )


def _key(name: str, table: str, ondelete: str | None = None) -> sa.Column[int]:
    own = op.f(f"fk_pinned_pour_{name}")
    return sa.Column(
        name,
        sa.Integer(),
        sa.ForeignKey(f"{table}.id", name=own, ondelete=ondelete),
        nullable=False,
    )
