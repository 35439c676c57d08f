"""What an instrument says at a broker (MQTT), and as what it is read."""

from datetime import datetime
from typing import Annotated

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import OfShop
from models.records.fields import Name, Text, Word

Pattern = Annotated[str, Text(1, 200)]
Path = Annotated[str, Text(0, 200)]
UNITS = ("C", "F")


class TopicBase(SQLModel):
    name: Name = Field(description="of the instrument")
    pattern: Pattern = Field(description="topics as in shed/+/air or shed/#")
    kind: Word = "air"
    unit: Word = Field(default="C", description="C | F: of a temperature that tells no unit")
    value_path: Path = Field(default="", description="in JSON; empty: the message is the value")
    at_path: Path = Field(default="", description="in JSON; empty: when it arrives")


class Topic(TopicBase, OfShop, table=True):
    """It is heard for one place or one pour; what it said last stands beside it."""

    __tablename__ = "topic"
    __table_args__ = (
        CheckConstraint("(place_id IS NULL) <> (pour_id IS NULL)", name="one_target"),
        CheckConstraint("unit IN ('C', 'F')", name="unit_known"),
    )

    place_id: int | None = Field(
        default=None, foreign_key="place.id", index=True, ondelete="CASCADE"
    )
    pour_id: int | None = Field(default=None, foreign_key="pour.id", index=True, ondelete="CASCADE")
    heard_at: datetime | None = None
    said: str = ""  # what it said last, as far as it is shown
    fault: str = ""  # why that was not counted
