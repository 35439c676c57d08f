"""Notices of rain on a fresh face and of wind on a cover, beside those of frost."""

from collections.abc import Sequence

from alembic import op

revision: str = "0008"
down_revision: str | None = "0007"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

OLD = "kind IN ('opens', 'closes', 'correction', 'frost')"
NEW = "kind IN ('opens', 'closes', 'correction', 'frost', 'rain', 'wind')"


def upgrade() -> None:
    with op.batch_alter_table("reminder") as batch_op:
        batch_op.drop_constraint("kind_known", type_="check")
        batch_op.create_check_constraint("kind_known", NEW)


def downgrade() -> None:
    op.execute("DELETE FROM reminder WHERE kind IN ('rain', 'wind')")
    with op.batch_alter_table("reminder") as batch_op:
        batch_op.drop_constraint("kind_known", type_="check")
        batch_op.create_check_constraint("kind_known", OLD)
