"""A shop has a stock: bags, sealers and the rest, by lot, for what it is and where it stands."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op
from sqlmodel.sql.sqltypes import UTCDateTime

revision: str = "0052"
down_revision: str | None = "0051"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

OF = ("mix", "sealer", "place")


def upgrade() -> None:
    op.create_table(
        "stock",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("created_at", UTCDateTime(), nullable=False),
        sa.Column("archived_at", UTCDateTime(), nullable=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("lot", sa.String(), nullable=False),
        sa.Column("amount", sa.Float(), nullable=False),
        *(sa.Column(f"{name}_id", sa.Integer(), nullable=True) for name in OF),
        sa.Column("opened_on", sa.Date(), nullable=True),
        sa.Column("best_before", sa.Date(), nullable=True),
        sa.CheckConstraint("amount >= 0", name=op.f("ck_stock_amount_not_negative")),
        *(
            sa.ForeignKeyConstraint(
                [f"{name}_id"], [f"{name}.id"], name=op.f(f"fk_stock_{name}_id")
            )
            for name in OF
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock")),
    )
    for name in OF:
        op.create_index(op.f(f"ix_stock_{name}_id"), "stock", [f"{name}_id"])


def downgrade() -> None:
    op.drop_table("stock")
