"""Codes of stickers; every mould and every pour that is there gets one."""

import secrets
from collections.abc import Sequence
from datetime import UTC, datetime

import sqlalchemy as sa
from alembic import op
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0034"
down_revision: str | None = "0033"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

NOUNS = ("mould", "pour")
LETTERS, LENGTH = "abcdefghjkmnpqrstuvwxyz23456789", 10


def upgrade() -> None:
    keys = [
        (
            sa.Column(f"{noun}_id", sa.Integer(), nullable=True),
            sa.ForeignKeyConstraint(
                [f"{noun}_id"],
                [f"{noun}.id"],
                name=op.f(f"fk_sticker_{noun}_id"),
                ondelete="CASCADE",
            ),
        )
        for noun in NOUNS
    ]
    made = op.create_table(
        "sticker",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", UTCDateTime(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        *(column for column, _ in keys),
        sa.Column("revoked_at", UTCDateTime(), nullable=True),
        *(key for _, key in keys),
        sa.CheckConstraint(
            "(mould_id IS NULL) <> (pour_id IS NULL)", name=op.f("ck_sticker_one_target")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sticker")),
        sa.UniqueConstraint("code", name=op.f("uq_sticker_code")),
    )
    for noun in NOUNS:
        op.create_index(op.f(f"ix_sticker_{noun}_id"), "sticker", [f"{noun}_id"])
    now = datetime.now(UTC)
    for noun in NOUNS:
        there = sa.table(noun, sa.column("id", sa.Integer()))
        found = op.get_bind().execute(sa.select(there.c.id)).scalars().all()
        rows = [{"created_at": now, "code": _code(), f"{noun}_id": key} for key in found]
        if rows:
            op.bulk_insert(made, rows)


def downgrade() -> None:
    op.drop_table("sticker")


def _code() -> str:
    return "".join(secrets.choice(LETTERS) for _ in range(LENGTH))
