"""Where standing faces look from a place, and the colour of a mix; none told: not known."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0025"
down_revision: str | None = "0024"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

LOOKS, COLOUR = "ck_place_looks_known", "ck_mix_colour_known"


def upgrade() -> None:
    with op.batch_alter_table("place") as batch_op:
        batch_op.add_column(sa.Column("looks", sa.String(), nullable=True))
        batch_op.create_check_constraint(op.f(LOOKS), "looks IN ('north', 'east', 'south', 'west')")
    with op.batch_alter_table("mix") as batch_op:
        batch_op.add_column(sa.Column("colour", sa.String(), nullable=True))
        batch_op.create_check_constraint(op.f(COLOUR), "colour IN ('light', 'grey', 'dark')")


def downgrade() -> None:
    with op.batch_alter_table("mix") as batch_op:
        batch_op.drop_constraint(op.f(COLOUR), type_="check")
        batch_op.drop_column("colour")
    with op.batch_alter_table("place") as batch_op:
        batch_op.drop_constraint(op.f(LOOKS), type_="check")
        batch_op.drop_column("looks")
