"""A cube, cylinder or bar that was broken."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from models.records.base import Row


class StrengthTest(Row, table=True):
    __tablename__ = "strength_test"
    __table_args__ = (CheckConstraint('"MPa" > 0', name="strength_positive"),)

    pour_id: int = Field(foreign_key="pour.id", index=True, ondelete="CASCADE")
    at: datetime
    kind: str
    MPa: float
    note: str = ""
