"""People who sign in, links that let somebody in, secrets of machines; and who logged what."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0028"
down_revision: str | None = "0027"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

ROLES = "role IN ('owner', 'helper', 'viewer')"
LOGGED = ("batch", "reading", "protection_period", "strength_test", "step_done", "photo", "pour")


def upgrade() -> None:
    op.create_table(
        "person",
        *_row(),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("password_hash", sa.String(), nullable=False),
        sa.Column("left_at", UTCDateTime(), nullable=True),
        sa.CheckConstraint(ROLES, name=op.f("ck_person_role_known")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("name", name=op.f("uq_person_name")),
    )
    op.create_table(
        "sign_in",
        *_row(),
        _key("sign_in", "person", nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("seen_at", UTCDateTime(), nullable=False),
        sa.Column("browser", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sign_in")),
        sa.UniqueConstraint("digest", name=op.f("uq_sign_in_digest")),
    )
    op.create_table(
        "invitation",
        *_row(),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        _key("invitation", "person"),
        sa.Column("until", UTCDateTime(), nullable=False),
        sa.Column("used_at", UTCDateTime(), nullable=True),
        sa.CheckConstraint(ROLES, name=op.f("ck_invitation_role_known")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_invitation")),
        sa.UniqueConstraint("digest", name=op.f("uq_invitation_digest")),
    )
    op.create_table(
        "token",
        *_row(),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        _key("token", "place"),
        _key("token", "pour"),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("used_at", UTCDateTime(), nullable=True),
        sa.Column("revoked_at", UTCDateTime(), nullable=True),
        sa.CheckConstraint("kind IN ('instrument', 'screen')", name=op.f("ck_token_kind_known")),
        sa.CheckConstraint(
            "kind <> 'instrument' OR (place_id IS NULL) <> (pour_id IS NULL)",
            name=op.f("ck_token_one_target"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_token")),
        sa.UniqueConstraint("digest", name=op.f("uq_token_digest")),
    )
    for table, column in KEYS:
        op.create_index(op.f(f"ix_{table}_{column}"), table, [column])
    for table in LOGGED:
        with op.batch_alter_table(table) as batch_op:
            batch_op.add_column(sa.Column("logged_by", sa.String(), nullable=True))


KEYS = (
    ("sign_in", "person_id"),
    ("invitation", "person_id"),
    ("token", "place_id"),
    ("token", "pour_id"),
)


def downgrade() -> None:
    for table in LOGGED:
        with op.batch_alter_table(table) as batch_op:
            batch_op.drop_column("logged_by")
    for table in ("token", "invitation", "sign_in", "person"):
        op.drop_table(table)


def _row() -> tuple[sa.Column[int], sa.Column[str]]:
    return (
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", UTCDateTime(), nullable=False),
    )


def _key(table: str, of: str, *, nullable: bool = True) -> sa.Column[int]:
    return sa.Column(
        f"{of}_id",
        sa.Integer(),
        sa.ForeignKey(f"{of}.id", name=op.f(f"fk_{table}_{of}_id"), ondelete="CASCADE"),
        nullable=nullable,
    )
