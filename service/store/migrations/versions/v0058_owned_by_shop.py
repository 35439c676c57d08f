"""What a shop owns is found by the shop, where a server has many.

No foreign key: the clock writes rows of the first shop before that is opened, and SQLite would copy
every table with its photos.
"""

from collections.abc import Sequence

from alembic import op

revision: str = "0058"
down_revision: str | None = "0057"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

OWNED = ("client_order", "mix", "mould", "piece", "place", "sealer", "stock")


def upgrade() -> None:
    for table in OWNED:
        op.create_index(op.f(f"ix_{table}_shop_id"), table, ["shop_id"])


def downgrade() -> None:
    for table in OWNED:
        op.drop_index(op.f(f"ix_{table}_shop_id"), table)
