"""A piece of furniture: its outside measures and openings."""

from typing import Any

from sqlalchemy import JSON, CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Owned
from models.records.fields import Length, Name, Word, YesNo


class PieceBase(SQLModel):
    """What a maker tells; `shape` says which of the measures it needs."""

    name: Name = Field(unique=True)
    shape: Word
    length_mm: Length
    width_mm: Length
    thickness_mm: Length | None = None
    height_mm: Length | None = None
    wall_mm: Length | None = None
    exposed_to_frost: YesNo = True


class Piece(PieceBase, Owned, table=True):
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

    openings: list[dict[str, Any]] = Field(default_factory=list, sa_type=JSON)
