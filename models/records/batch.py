"""One batch of a pour, as it was mixed."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Logged
from models.records.fields import Note, Number, Temperature, Volume


class BatchBase(SQLModel):
    bags: Number | None = None
    water_l: Volume | None = None
    concrete_C: Temperature | None = None
    note: Note = ""


class Batch(BatchBase, Logged, table=True):
    """Written down for the record; the pour's own time is that of the youngest batch."""

    __tablename__ = "batch"
    __table_args__ = (
        CheckConstraint("bags > 0", name="bags_positive"),
        CheckConstraint("water_l >= 0", name="water_not_negative"),
        CheckConstraint('"concrete_C" BETWEEN 1 AND 50', name="concrete_range"),
    )

    pour_id: int = Field(foreign_key="pour.id", index=True, ondelete="CASCADE")
    at: datetime
