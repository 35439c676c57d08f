"""A mould: the board it is made of, and the piece it is built for."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from models.records.base import Row


class Mould(Row, table=True):
    __tablename__ = "mould"
    __table_args__ = (CheckConstraint("thickness_mm > 0", name="thickness_positive"),)

    name: str = Field(unique=True)
    material: str = "melamine"
    thickness_mm: float = 16.0
    piece_id: int | None = Field(default=None, foreign_key="piece.id", index=True)
