"""What heats a tent or a room and when, humidity beside the piece, bags, water and board."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0011"
down_revision: str | None = "0010"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

TOLD = ("bag_C", "water_C", "board_C")
HOURS = ("heated_from", "heated_to")
BOTH = "ck_place_heated_both_or_none"
RANGE = "ck_reading_humidity_range"


def upgrade() -> None:
    with op.batch_alter_table("pour") as batch_op:
        for name in TOLD:
            batch_op.add_column(sa.Column(name, sa.Float(), nullable=True))
    with op.batch_alter_table("place") as batch_op:
        for name in HOURS:
            batch_op.add_column(sa.Column(name, sa.Time(), nullable=True))
        batch_op.add_column(sa.Column("heater", sa.String(), nullable=True))
        batch_op.create_check_constraint(op.f(BOTH), "(heated_from IS NULL) = (heated_to IS NULL)")
    with op.batch_alter_table("protection_period") as batch_op:
        batch_op.add_column(sa.Column("heater", sa.String(), nullable=True))
    with op.batch_alter_table("reading") as batch_op:
        batch_op.add_column(sa.Column("rh_pct", sa.Float(), nullable=True))
        batch_op.create_check_constraint(op.f(RANGE), "rh_pct BETWEEN 1 AND 100")


def downgrade() -> None:
    op.execute("DELETE FROM reading WHERE kind = 'humidity'")
    with op.batch_alter_table("reading") as batch_op:
        batch_op.drop_constraint(op.f(RANGE), type_="check")
        batch_op.drop_column("rh_pct")
    with op.batch_alter_table("protection_period") as batch_op:
        batch_op.drop_column("heater")
    with op.batch_alter_table("place") as batch_op:
        batch_op.drop_constraint(op.f(BOTH), type_="check")
        for name in ("heater", *HOURS):
            batch_op.drop_column(name)
    with op.batch_alter_table("pour") as batch_op:
        for name in TOLD:
            batch_op.drop_column(name)
