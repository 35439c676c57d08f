"""Moulds are things: kind, release agent, time to clean, when released last; and their faults."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0046"
down_revision: str | None = "0045"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("mould") as batch_op:
        batch_op.add_column(sa.Column("alike_id", sa.Integer(), nullable=True))
        batch_op.add_column(
            sa.Column("release_agent", sa.String(), nullable=False, server_default="")
        )
        batch_op.add_column(sa.Column("turnaround_h", sa.Float(), nullable=True))
        batch_op.add_column(sa.Column("released_at", UTCDateTime(), nullable=True))
        batch_op.create_foreign_key(batch_op.f("fk_mould_alike_id"), "mould", ["alike_id"], ["id"])
        batch_op.create_index(batch_op.f("ix_mould_alike_id"), ["alike_id"])
        batch_op.create_check_constraint(
            batch_op.f("ck_mould_turnaround_not_negative"), "turnaround_h >= 0"
        )
    with op.batch_alter_table("mould") as batch_op:
        batch_op.alter_column("release_agent", server_default=None)
    op.create_table(
        "mould_fault",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", UTCDateTime(), nullable=False),
        sa.Column("logged_by", sa.String(), nullable=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("mould_id", sa.Integer(), nullable=False),
        sa.Column("at", UTCDateTime(), nullable=False),
        sa.Column("mended_at", UTCDateTime(), nullable=True),
        sa.Column("removed_at", UTCDateTime(), nullable=True),
        sa.Column("media_type", sa.String(), nullable=True),
        sa.Column("size_bytes", sa.Integer(), nullable=True),
        sa.Column("sha256", sa.String(), nullable=True),
        sa.Column("content", sa.LargeBinary(), nullable=True),
        sa.CheckConstraint(
            "media_type IN ('image/jpeg', 'image/png', 'image/webp')",
            name=op.f("ck_mould_fault_media_type_known"),
        ),
        sa.CheckConstraint(
            "(media_type IS NULL) = (content IS NULL)", name=op.f("ck_mould_fault_whole_photo")
        ),
        sa.ForeignKeyConstraint(
            ["mould_id"], ["mould.id"], name=op.f("fk_mould_fault_mould_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_mould_fault")),
    )
    op.create_index(op.f("ix_mould_fault_mould_id"), "mould_fault", ["mould_id"])


def downgrade() -> None:
    op.drop_table("mould_fault")
    with op.batch_alter_table("mould") as batch_op:
        batch_op.drop_constraint(batch_op.f("ck_mould_turnaround_not_negative"), type_="check")
        batch_op.drop_index("ix_mould_alike_id")
        batch_op.drop_constraint(batch_op.f("fk_mould_alike_id"), type_="foreignkey")
        for name in ("released_at", "turnaround_h", "release_agent", "alike_id"):
            batch_op.drop_column(name)
