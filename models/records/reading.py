"""A temperature or humidity read at a piece; a witness tile weighed; a taped film looked at."""

from datetime import datetime

from sqlalchemy import CheckConstraint, Index, UniqueConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Logged
from models.records.fields import Hours, Note, Percent, Temperature, TileMass, Word

AIR_TEMPERATURE_KINDS = ("air", "air-min-max")
AIR_KINDS = (*AIR_TEMPERATURE_KINDS, "humidity")  # count for every pour of the place


class ReadingBase(SQLModel):
    kind: Word
    value_max_C: Temperature | None = None
    span_h: Hours = 12.0
    mass_g: TileMass | None = Field(default=None, description="of a tile only")
    rh_pct: Percent | None = Field(default=None, description="of a humidity reading only")
    note: Note = ""


class Reading(ReadingBase, Logged, table=True):
    """A reading of the air counts for every pour of the place; the others for their pour alone.

    `value_C` of a tile, a set, a film and of humidity is not used.
    """

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
        # the same instrument and instant and kind is the same reading; people have no instrument
        UniqueConstraint("place_id", "instrument", "at", "kind", "pour_id"),
        Index(None, "place_id", "at"),  # what a pour of the place counts since it was placed
        Index(None, "place_id", "created_at"),  # what is new to learn from
        Index(None, "pour_id", "kind"),
    )

    pour_id: int = Field(foreign_key="pour.id", ondelete="CASCADE")
    place_id: int = Field(foreign_key="place.id")
    at: datetime
    value_C: float
    wrong: bool = False  # the instrument was: kept in the record, counted nowhere
    instrument: str | None = None  # what sent it by itself
    spare: bool = False  # within a quarter of an hour of another of its instrument: counted nowhere
