"""What kept a pour warm or wet, from when to when."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Logged
from models.records.fields import Resistance, Temperature, Word


class CoverBase(SQLModel):
    """What is laid on or put around a piece."""

    kind: Word
    R_m2K_W: Resistance | None = None
    setpoint_C: Temperature | None = None
    heater: Word | None = None


class LaidBase(CoverBase):
    """A cover that lies on a piece."""

    faces: Word = "top"


class ProtectionPeriod(LaidBase, Logged, table=True):
    """Open while `to_at` is None."""

    __tablename__ = "protection_period"
    __table_args__ = (
        CheckConstraint("to_at > from_at", name="ends_after_start"),
        CheckConstraint('"R_m2K_W" >= 0', name="resistance_not_negative"),
        CheckConstraint("faces IN ('top', 'sides', 'all')", name="faces_known"),
    )

    pour_id: int = Field(foreign_key="pour.id", index=True, ondelete="CASCADE")
    from_at: datetime
    to_at: datetime | None = None
