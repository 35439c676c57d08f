"""What instruments say at a broker, and as what it is read."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0032"
down_revision: str | None = "0031"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

TEXTS = ("name", "pattern", "kind", "unit", "value_path", "at_path", "said", "fault")


def upgrade() -> None:
    op.create_table(
        "topic",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", UTCDateTime(), nullable=False),
        *(sa.Column(name, sa.String(), nullable=False) for name in TEXTS),
        _key("place"),
        _key("pour"),
        sa.Column("heard_at", UTCDateTime(), nullable=True),
        sa.CheckConstraint(
            "(place_id IS NULL) <> (pour_id IS NULL)", name=op.f("ck_topic_one_target")
        ),
        sa.CheckConstraint("unit IN ('C', 'F')", name=op.f("ck_topic_unit_known")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_topic")),
    )
    for noun in ("place", "pour"):
        op.create_index(op.f(f"ix_topic_{noun}_id"), "topic", [f"{noun}_id"])


def downgrade() -> None:
    op.drop_table("topic")


def _key(of: str) -> sa.Column[int]:
    key = sa.ForeignKey(f"{of}.id", name=op.f(f"fk_topic_{of}_id"), ondelete="CASCADE")
    return sa.Column(f"{of}_id", sa.Integer(), key, nullable=True)
