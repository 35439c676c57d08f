"""A place where pieces stand."""

from datetime import datetime, time

from sqlalchemy import JSON, CheckConstraint
from sqlmodel import Field

from models.records.base import Row


class Place(Row, table=True):
    """None means not told; the projection then takes what readings taught, or a stated default.

    `learned_*` is never typed; readings noticed up to `forgotten_at` teach nothing any more.
    """

    __tablename__ = "place"
    __table_args__ = (
        CheckConstraint("latitude BETWEEN -90 AND 90", name="latitude_range"),
        CheckConstraint("longitude BETWEEN -180 AND 180", name="longitude_range"),
        CheckConstraint("altitude_m BETWEEN -500 AND 9000", name="altitude_range"),
        CheckConstraint("(latitude IS NULL) = (longitude IS NULL)", name="both_or_none"),
        CheckConstraint("lag_h > 0", name="lag_positive"),
        CheckConstraint("(heated_from IS NULL) = (heated_to IS NULL)", name="heated_both_or_none"),
        CheckConstraint(
            "kind <> 'heated room' OR \"setpoint_C\" IS NOT NULL", name="heated_setpoint"
        ),
    )

    name: str = Field(unique=True)
    kind: str
    latitude: float | None = None
    longitude: float | None = None
    altitude_m: float | None = None  # above the sea
    timezone: str = "UTC"
    lag_h: float | None = None
    offset_K: float | None = None
    setpoint_C: float | None = None
    heated_from: time | None = None  # each day on the wall clock; None: day and night
    heated_to: time | None = None
    heater: str | None = None
    learned_lag_h: float | None = None
    learned_lag_spread: float | None = None
    learned_offset_K: float | None = None
    learned_offset_sd_K: float | None = None
    learned_from_count: int | None = None
    learned_at: datetime | None = None  # when readings were last looked at, whatever came of it
    learned_forecast: list[dict[str, float]] | None = Field(
        default=None,
        sa_type=JSON(none_as_null=True),
    )  # by class of lead, what kept forecasts were off
    forgotten_at: datetime | None = None
    official_alerts: list[dict[str, str | None]] | None = Field(
        default=None,
        sa_type=JSON(none_as_null=True),
    )  # as the service told them at the last refresh
