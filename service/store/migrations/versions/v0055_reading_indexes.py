"""Readings found by their place or pour and the hour, of which a place may have a million."""

from collections.abc import Sequence

from alembic import op

revision: str = "0055"
down_revision: str | None = "0054"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

BEFORE = {"ix_reading_place_id": ["place_id"], "ix_reading_pour_id": ["pour_id"]}
NOW = {
    "ix_reading_place_id_at": ["place_id", "at"],
    "ix_reading_place_id_created_at": ["place_id", "created_at"],
    "ix_reading_pour_id_kind": ["pour_id", "kind"],
}


def upgrade() -> None:
    for name, columns in NOW.items():
        op.create_index(name, "reading", columns)
    for name in BEFORE:
        op.drop_index(name, "reading")


def downgrade() -> None:
    for name, columns in BEFORE.items():
        op.create_index(name, "reading", columns)
    for name in NOW:
        op.drop_index(name, "reading")
