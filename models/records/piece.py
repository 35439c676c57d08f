"""A piece of furniture: its outside measures and openings."""

from typing import Any

from sqlalchemy import JSON, CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Owned, once_a_shop
from models.records.fields import Area, Count, Length, Name, Volume, Word, YesNo


class PieceBase(SQLModel):
    """What a maker tells; `shape` says which of the measures it needs."""

    name: Name
    shape: Word
    length_mm: Length
    width_mm: Length
    thickness_mm: Length | None = None
    height_mm: Length | None = None
    wall_mm: Length | None = None
    floor_mm: Length | None = None
    taper_mm: Length | None = None
    ledge_mm: Length | None = None
    ledge_thickness_mm: Length | None = None
    ledge_down_mm: Length | None = None
    slope_mm: Length | None = None
    draft_mm: Length | None = None
    drain_mm: Length | None = None
    bowl_length_mm: Length | None = None
    bowl_width_mm: Length | None = None
    bowl_depth_mm: Length | None = None
    bowl_left_mm: Length | None = None
    bowl_front_mm: Length | None = None
    drop_edge_mm: Length | None = None
    drop_wall_mm: Length | None = None
    drop_sides: Word | None = None
    ribs: Count | None = None
    rib_mm: Length | None = None
    rib_depth_mm: Length | None = None
    steps: Count | None = None
    told_volume_l: Volume | None = None
    told_faces_m2: Area | None = None
    thickest_part_mm: Length | None = None
    thinnest_part_mm: Length | None = None
    cast_way: Word | None = None
    exposed_to_frost: YesNo = True
    burner: YesNo = Field(default=False, description="a gas burner goes in it")


class Piece(PieceBase, Owned, table=True):
    """`openings` is a list of {length_mm, width_mm, edge_mm, form, left_mm, front_mm, wall,
    corner_mm}; `faces_told` one of {face, against, shown, trowelled}; `inserts` one of {material,
    gap_mm, edge_mm, depth_mm, load_kg, by_flame}."""

    __tablename__ = "piece"
    __table_args__ = (
        once_a_shop("name"),
        CheckConstraint("length_mm > 0 AND width_mm > 0", name="measures_positive"),
        CheckConstraint(
            "(shape = 'panel' AND thickness_mm IS NOT NULL)"
            " OR (shape = 'block' AND height_mm IS NOT NULL)"
            " OR (shape = 'box' AND height_mm IS NOT NULL AND wall_mm IS NOT NULL)"
            " OR shape NOT IN ('panel', 'block', 'box')",
            name="shape_measures",
        ),
    )

    openings: list[dict[str, Any]] = Field(default_factory=list, sa_type=JSON)
    faces_told: list[dict[str, Any]] = Field(default_factory=list, sa_type=JSON)
    inserts: list[dict[str, Any]] = Field(default_factory=list, sa_type=JSON)
