"""A place where pieces stand."""

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from models.records.base import Row


class Place(Row, table=True):
    """None means not told; the projection then takes a stated default with its spread."""

    __tablename__ = "place"
    __table_args__ = (
        CheckConstraint("latitude BETWEEN -90 AND 90", name="latitude_range"),
        CheckConstraint("longitude BETWEEN -180 AND 180", name="longitude_range"),
        CheckConstraint("(latitude IS NULL) = (longitude IS NULL)", name="both_or_none"),
        CheckConstraint("lag_h > 0", name="lag_positive"),
        CheckConstraint(
            "kind <> 'heated room' OR \"setpoint_C\" IS NOT NULL", name="heated_setpoint"
        ),
    )

    name: str = Field(unique=True)
    kind: str
    latitude: float | None = None
    longitude: float | None = None
    timezone: str = "UTC"
    lag_h: float | None = None
    offset_K: float | None = None
    setpoint_C: float | None = None
