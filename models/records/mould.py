"""A mould: the board it is made of, and the piece it is built for."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Owned
from models.records.fields import Key, Length, Name, Word

ROOM = ("stripped", "another")  # what makes room in a mould that holds a pour


class MouldBase(SQLModel):
    name: Name = Field(unique=True)
    material: Word = "melamine"
    thickness_mm: Length = 16.0
    piece_id: Key | None = Field(default=None, foreign_key="piece.id", index=True)


class Mould(MouldBase, Owned, table=True):
    __tablename__ = "mould"
    __table_args__ = (CheckConstraint("thickness_mm > 0", name="thickness_positive"),)
