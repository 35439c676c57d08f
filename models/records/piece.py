"""A piece of furniture: its outside measures and openings."""

from typing import Any

from sqlalchemy import JSON, CheckConstraint
from sqlmodel import Field

from models.records.base import Row


class Piece(Row, table=True):
    """`openings` is a list of {length_mm, width_mm, edge_mm}."""

    __tablename__ = "piece"
    __table_args__ = (
        CheckConstraint("length_mm > 0 AND width_mm > 0", name="measures_positive"),
        CheckConstraint(
            "(shape = 'panel' AND thickness_mm IS NOT NULL)"
            " OR (shape = 'block' AND height_mm IS NOT NULL)"
            " OR (shape = 'box' AND height_mm IS NOT NULL AND wall_mm IS NOT NULL)",
            name="shape_measures",
        ),
    )

    name: str = Field(unique=True)
    shape: str
    length_mm: float
    width_mm: float
    thickness_mm: float | None = None
    height_mm: float | None = None
    wall_mm: float | None = None
    openings: list[dict[str, Any]] = Field(default_factory=list, sa_type=JSON)
    exposed_to_frost: bool = True
