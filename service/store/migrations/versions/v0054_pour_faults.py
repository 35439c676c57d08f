"""What went wrong with a piece, and how its seal looked."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0054"
down_revision: str | None = "0053"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        batch_op.add_column(sa.Column("sealed_as", sa.String(), nullable=True))
    op.create_table(
        "pour_fault",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", UTCDateTime(), nullable=False),
        sa.Column("logged_by", sa.String(), nullable=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("face", sa.String(), nullable=True),
        sa.Column("x_mm", sa.Float(), nullable=True),
        sa.Column("y_mm", sa.Float(), nullable=True),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("photo_id", sa.Integer(), nullable=True),
        sa.Column("pour_id", sa.Integer(), nullable=False),
        sa.Column("at", UTCDateTime(), nullable=False),
        sa.CheckConstraint(
            "x_mm >= 0 AND y_mm >= 0", name=op.f("ck_pour_fault_place_not_negative")
        ),
        sa.CheckConstraint(
            "(x_mm IS NULL) = (y_mm IS NULL)", name=op.f("ck_pour_fault_whole_place")
        ),
        sa.ForeignKeyConstraint(
            ["photo_id"], ["photo.id"], name=op.f("fk_pour_fault_photo_id"), ondelete="SET NULL"
        ),
        sa.ForeignKeyConstraint(
            ["pour_id"], ["pour.id"], name=op.f("fk_pour_fault_pour_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pour_fault")),
    )
    op.create_index(op.f("ix_pour_fault_photo_id"), "pour_fault", ["photo_id"])
    op.create_index(op.f("ix_pour_fault_pour_id"), "pour_fault", ["pour_id"])


def downgrade() -> None:
    op.drop_table("pour_fault")
    with op.batch_alter_table("pour") as batch_op:
        batch_op.drop_column("sealed_as")
