"""What was told about a pour, with what it came from."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON
from sqlmodel import Field

from models.records.base import NULLABLE_JSON, OfShop
from models.records.packed import Packed


class Projection(OfShop, table=True):
    """A new row when a window moved; `checked_at` moves while it stands.

    `answer` holds steps, warnings and evidence, of a row that another has followed an outline;
    `concrete` the hourly bands and `inputs` what it came from, of the newest row only; `moved` why,
    as a code and its values.
    """

    __tablename__ = "projection"

    pour_id: int = Field(foreign_key="pour.id", index=True, ondelete="CASCADE")
    made_at: datetime
    checked_at: datetime
    weather_run_id: int | None = Field(
        default=None, foreign_key="weather_run.id", index=True, ondelete="SET NULL"
    )
    inputs: dict[str, Any] = Field(default_factory=dict, sa_type=JSON)
    answer: dict[str, Any] = Field(sa_type=Packed, nullable=False)
    concrete: dict[str, Any] | None = Field(default=None, sa_type=Packed, nullable=True)
    moved: dict[str, Any] | None = Field(default=None, sa_type=NULLABLE_JSON)
