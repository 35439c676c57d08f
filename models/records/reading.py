"""A temperature or humidity read at a piece; a witness tile weighed; a taped film looked at."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from models.records.base import Row

AIR_TEMPERATURE_KINDS = ("air", "air-min-max")
AIR_KINDS = (*AIR_TEMPERATURE_KINDS, "humidity")  # count for every pour of the place


class Reading(Row, table=True):
    """A reading of the air counts for every pour of the place; the others for their pour alone."""

    __tablename__ = "reading"
    __table_args__ = (
        CheckConstraint(
            '"value_C" BETWEEN -50 AND 95'
            ' AND ("value_max_C" IS NULL OR "value_max_C" >= "value_C")',
            name="value_range",
        ),
        CheckConstraint("span_h > 0", name="span_positive"),
        CheckConstraint("mass_g > 0", name="mass_positive"),
        CheckConstraint("rh_pct BETWEEN 1 AND 100", name="humidity_range"),
    )

    pour_id: int = Field(foreign_key="pour.id", index=True, ondelete="CASCADE")
    place_id: int = Field(foreign_key="place.id", index=True)
    at: datetime
    kind: str
    value_C: float
    value_max_C: float | None = None
    span_h: float = 12.0
    mass_g: float | None = None  # of a witness tile; its value_C is not used
    rh_pct: float | None = None  # of a humidity reading; its value_C is not used
    note: str = ""
    wrong: bool = False  # the instrument was: kept in the record, counted nowhere
