"""A cover may hang down the sides of a piece."""

from collections.abc import Sequence

from alembic import op

revision: str = "0024"
down_revision: str | None = "0023"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

KNOWN = "ck_protection_period_faces_known"


def upgrade() -> None:
    _known("'top', 'sides', 'all'")


def downgrade() -> None:
    op.execute("UPDATE protection_period SET faces = 'top' WHERE faces = 'sides'")
    _known("'top', 'all'")


def _known(faces: str) -> None:
    with op.batch_alter_table("protection_period") as batch_op:
        batch_op.drop_constraint(op.f(KNOWN), type_="check")
        batch_op.create_check_constraint(op.f(KNOWN), f"faces IN ({faces})")
