"""A cube, cylinder or bar that was broken."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Logged
from models.records.fields import Note, Stress, Word


class StrengthTestBase(SQLModel):
    kind: Word
    MPa: Stress
    note: Note = ""


class StrengthTest(StrengthTestBase, Logged, table=True):
    __tablename__ = "strength_test"
    __table_args__ = (CheckConstraint('"MPa" > 0', name="strength_positive"),)

    pour_id: int = Field(foreign_key="pour.id", index=True, ondelete="CASCADE")
    at: datetime
