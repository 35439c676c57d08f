"""Measures of whole shapes, what faces are, what is cast in; what is there loses nothing."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

from models.errors import InputError

revision: str = "0041"
down_revision: str | None = "0040"
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

NUMBERS = (
    "floor_mm",
    "taper_mm",
    "ledge_mm",
    "ledge_thickness_mm",
    "ledge_down_mm",
    "slope_mm",
    "draft_mm",
    "drain_mm",
    "bowl_length_mm",
    "bowl_width_mm",
    "bowl_depth_mm",
    "bowl_left_mm",
    "bowl_front_mm",
    "drop_edge_mm",
    "drop_wall_mm",
    "rib_mm",
    "rib_depth_mm",
    "told_volume_l",
    "told_faces_m2",
    "thickest_part_mm",
    "thinnest_part_mm",
)
COUNTS, WORDS, LISTS = ("ribs", "steps"), ("drop_sides", "cast_way"), ("faces_told", "inserts")
FIRST = (
    "(shape = 'panel' AND thickness_mm IS NOT NULL)"
    " OR (shape = 'block' AND height_mm IS NOT NULL)"
    " OR (shape = 'box' AND height_mm IS NOT NULL AND wall_mm IS NOT NULL)"
)


def upgrade() -> None:
    with op.batch_alter_table("piece") as batch_op:
        for name in NUMBERS:
            batch_op.add_column(sa.Column(name, sa.Float(), nullable=True))
        for name in COUNTS:
            batch_op.add_column(sa.Column(name, sa.Integer(), nullable=True))
        for name in WORDS:
            batch_op.add_column(sa.Column(name, sa.String(), nullable=True))
        for name in LISTS:
            batch_op.add_column(sa.Column(name, sa.JSON(), nullable=False, server_default="[]"))
        batch_op.drop_constraint(op.f("ck_piece_shape_measures"), type_="check")
        batch_op.create_check_constraint(
            op.f("ck_piece_shape_measures"), f"{FIRST} OR shape NOT IN ('panel', 'block', 'box')"
        )
    with op.batch_alter_table("piece") as batch_op:
        for name in LISTS:
            batch_op.alter_column(name, server_default=None)


def downgrade() -> None:
    told = "SELECT name, shape FROM piece WHERE shape NOT IN ('panel', 'block', 'box') ORDER BY id"
    newer = op.get_bind().execute(sa.text(told)).all()
    if newer:
        names = ", ".join(f"{name} ({shape})" for name, shape in newer)
        why = f"revision 0040 knows no such shape, nothing is downgraded: {names}"
        raise InputError("piece.shape", newer[0].shape, why, "panel, block or box")
    with op.batch_alter_table("piece") as batch_op:
        batch_op.drop_constraint(op.f("ck_piece_shape_measures"), type_="check")
        batch_op.create_check_constraint(op.f("ck_piece_shape_measures"), FIRST)
        for name in (*NUMBERS, *COUNTS, *WORDS, *LISTS):
            batch_op.drop_column(name)
