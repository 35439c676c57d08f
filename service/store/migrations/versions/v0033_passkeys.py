"""Keys of phones that sign a person in, and what they are to sign."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0033"
down_revision: str | None = "0032"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    op.create_table(
        "passkey",
        *_row("passkey", nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("host", sa.String(), nullable=False),
        sa.Column("credential", sa.String(), nullable=False),
        sa.Column("public_key", sa.String(), nullable=False),
        sa.Column("sign_count", sa.Integer(), nullable=False),
        sa.Column("used_at", UTCDateTime(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_passkey")),
        sa.UniqueConstraint("credential", name=op.f("uq_passkey_credential")),
    )
    op.create_table(
        "challenge",
        *_row("challenge", nullable=True),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("until", UTCDateTime(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_challenge")),
        sa.UniqueConstraint("digest", name=op.f("uq_challenge_digest")),
    )
    for table in ("passkey", "challenge"):
        op.create_index(op.f(f"ix_{table}_person_id"), table, ["person_id"])


def downgrade() -> None:
    op.drop_table("challenge")
    op.drop_table("passkey")


def _row(table: str, *, nullable: bool) -> tuple[sa.Column[int], sa.Column[str], sa.Column[int]]:
    person = sa.ForeignKey("person.id", name=op.f(f"fk_{table}_person_id"), ondelete="CASCADE")
    return (
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", UTCDateTime(), nullable=False),
        sa.Column("person_id", sa.Integer(), person, nullable=nullable),
    )
