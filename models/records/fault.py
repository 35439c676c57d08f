"""What went wrong with a piece: what, when it was seen, and where on it."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Logged
from models.records.fields import Key, Length, Note, Word


class PourFaultBase(SQLModel):
    kind: Word
    face: Word | None = Field(default=None, description="of the piece; null: not told")
    x_mm: Length | None = Field(default=None, description="from its left end, seen from above")
    y_mm: Length | None = Field(default=None, description="from its front edge, seen from above")
    note: Note = ""
    photo_id: Key | None = Field(
        default=None,
        foreign_key="photo.id",
        index=True,
        ondelete="SET NULL",
        description="a photo of this pour",
    )


class PourFault(PourFaultBase, Logged, table=True):
    """`at` is when it was seen: what was done later is no cause of it."""

    __tablename__ = "pour_fault"
    __table_args__ = (
        CheckConstraint("x_mm >= 0 AND y_mm >= 0", name="place_not_negative"),
        CheckConstraint("(x_mm IS NULL) = (y_mm IS NULL)", name="whole_place"),
    )

    pour_id: int = Field(foreign_key="pour.id", index=True, ondelete="CASCADE")
    at: datetime
