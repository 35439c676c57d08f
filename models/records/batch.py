"""One batch of a pour, as it was mixed."""

from datetime import datetime
from typing import Any

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import NULLABLE_JSON, Logged
from models.records.fields import Key, Length, Note, Number, Temperature, Volume, Word


class BatchBase(SQLModel):
    bags: Number | None = None
    water_l: Volume | None = None
    concrete_C: Temperature | None = None
    thickness_mm: Length | None = Field(
        default=None, description="how deep it lies in the mould; empty: by its share of the bags"
    )
    layer: Word | None = None
    mix_id: Key | None = Field(
        default=None, foreign_key="mix.id", description="where it is not the mix of the pour"
    )
    note: Note = ""


class Batch(BatchBase, Logged, table=True):
    """The pour's own time is that of the youngest batch; `mixed` is what its own mix was."""

    __tablename__ = "batch"
    __table_args__ = (
        CheckConstraint("bags > 0", name="bags_positive"),
        CheckConstraint("water_l >= 0", name="water_not_negative"),
        CheckConstraint('"concrete_C" BETWEEN 1 AND 50', name="concrete_range"),
        CheckConstraint("thickness_mm > 0", name="thickness_positive"),
    )

    pour_id: int = Field(foreign_key="pour.id", index=True, ondelete="CASCADE")
    at: datetime
    mixed: dict[str, Any] | None = Field(default=None, sa_type=NULLABLE_JSON)
