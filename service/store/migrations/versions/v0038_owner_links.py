"""Codes of the pages of owners; every pour that is there gets one."""

import secrets
from collections.abc import Sequence
from datetime import UTC, datetime

import sqlalchemy as sa
from alembic import op
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0038"
down_revision: str | None = "0037"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    made = op.create_table(
        "owner_link",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", UTCDateTime(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("pour_id", sa.Integer(), nullable=False),
        sa.Column("revoked_at", UTCDateTime(), nullable=True),
        sa.ForeignKeyConstraint(
            ["pour_id"], ["pour.id"], name=op.f("fk_owner_link_pour_id"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_owner_link")),
        sa.UniqueConstraint("code", name=op.f("uq_owner_link_code")),
    )
    op.create_index(op.f("ix_owner_link_pour_id"), "owner_link", ["pour_id"])
    now, pour = datetime.now(UTC), sa.table("pour", sa.column("id", sa.Integer()))
    found = op.get_bind().execute(sa.select(pour.c.id)).scalars().all()
    rows = [{"created_at": now, "code": secrets.token_urlsafe(16), "pour_id": key} for key in found]
    if rows:
        op.bulk_insert(made, rows)


def downgrade() -> None:
    op.drop_table("owner_link")
