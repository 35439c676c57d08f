"""What kept a pour warm or wet, from when to when."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from models.records.base import Row


class ProtectionPeriod(Row, table=True):
    """Open while `to_at` is None."""

    __tablename__ = "protection_period"
    __table_args__ = (
        CheckConstraint("to_at > from_at", name="ends_after_start"),
        CheckConstraint('"R_m2K_W" >= 0', name="resistance_not_negative"),
        CheckConstraint("faces IN ('top', 'all')", name="faces_known"),
    )

    pour_id: int = Field(foreign_key="pour.id", index=True, ondelete="CASCADE")
    from_at: datetime
    to_at: datetime | None = None
    kind: str
    R_m2K_W: float | None = None
    setpoint_C: float | None = None
    faces: str = "top"
    heater: str | None = None  # what heats an enclosure
