"""One answer of a weather service for one place, kept as it was fetched."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, CheckConstraint
from sqlmodel import Field

from models.records.base import NULLABLE_JSON, OfShop


class WeatherRun(OfShop, table=True):
    """`hours` maps a column name to its hourly values from `start_at` on, null where none.

    kind : a forecast leads; an archive and the past, folded into one run of what earlier runs
        said, only tell of hours that are over
    provider : in words for people, no rule reads it; heard : the services of a folded past
    moved : told for where the place was before it moved
    ensemble : the members that came with it; only the newest of a place keeps them
    """

    __tablename__ = "weather_run"
    __table_args__ = (
        CheckConstraint("hour_count > 0", name="has_hours"),
        CheckConstraint("kind IN ('forecast', 'archive', 'past')", name="kind_known"),
    )

    place_id: int = Field(foreign_key="place.id", index=True, ondelete="CASCADE")
    provider: str
    kind: str = "forecast"
    heard: list[str] | None = Field(default=None, sa_type=NULLABLE_JSON)
    moved: bool = False
    typed: bool = False  # by a person, not by a service
    issued_at: datetime
    fetched_at: datetime = Field(index=True)
    start_at: datetime
    hour_count: int
    hours: dict[str, list[float | None]] = Field(sa_type=JSON)
    ensemble: dict[str, Any] | None = Field(default=None, sa_type=NULLABLE_JSON)
