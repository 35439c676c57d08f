"""A place where pieces stand."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import NULLABLE_JSON, Owned, once_a_shop
from models.records.fields import (
    Angle,
    Height,
    Hours,
    Name,
    Temperature,
    TemperatureStep,
    WallClock,
    Word,
)


class PlaceBase(SQLModel):
    """What a maker tells; None takes what readings taught, or a stated default."""

    name: Name
    kind: Word
    latitude: Angle | None = Field(default=None, description="degrees north")
    longitude: Angle | None = Field(default=None, description="degrees east")
    altitude_m: Height | None = Field(default=None, description="above the sea, -500 to 9000")
    lag_h: Hours | None = None
    offset_K: TemperatureStep | None = None
    hollow: Word | None = None
    looks: Word | None = None
    setpoint_C: Temperature | None = None
    heated_from: WallClock | None = Field(
        default=None, description="of a heated room; none: day and night"
    )
    heated_to: WallClock | None = None
    heater: Word | None = None


class PlaceCalibrated(PlaceBase):
    """What readings taught beside it; never typed."""

    learned_lag_h: float | None = None
    learned_lag_spread: float | None = Field(default=None, description="of the logarithm")
    learned_offset_K: float | None = None
    learned_offset_sd_K: float | None = None
    learned_from_count: int | None = Field(default=None, description="readings used")
    learned_at: datetime | None = Field(
        default=None, description="when readings were last looked at"
    )


class Place(PlaceCalibrated, Owned, table=True):
    """Readings noticed up to `forgotten_at` teach nothing any more."""

    __tablename__ = "place"
    __table_args__ = (
        once_a_shop("name"),
        CheckConstraint("latitude BETWEEN -90 AND 90", name="latitude_range"),
        CheckConstraint("longitude BETWEEN -180 AND 180", name="longitude_range"),
        CheckConstraint("altitude_m BETWEEN -500 AND 9000", name="altitude_range"),
        CheckConstraint("(latitude IS NULL) = (longitude IS NULL)", name="both_or_none"),
        CheckConstraint("hollow IN ('no', 'a little', 'a hollow')", name="hollow_known"),
        CheckConstraint("looks IN ('north', 'east', 'south', 'west')", name="looks_known"),
        CheckConstraint("lag_h > 0", name="lag_positive"),
        CheckConstraint("(heated_from IS NULL) = (heated_to IS NULL)", name="heated_both_or_none"),
        CheckConstraint(
            "kind <> 'heated room' OR \"setpoint_C\" IS NOT NULL", name="heated_setpoint"
        ),
    )

    timezone: str = "UTC"
    # by class of lead, what kept forecasts were off
    learned_forecast: list[dict[str, float]] | None = Field(default=None, sa_type=NULLABLE_JSON)
    forgotten_at: datetime | None = None
    # as the service told them at the last refresh
    official_alerts: list[dict[str, str | None]] | None = Field(default=None, sa_type=NULLABLE_JSON)
