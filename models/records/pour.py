"""A pour: which mix went into which mould, where, when and how warm."""

from datetime import datetime

from sqlalchemy import JSON, CheckConstraint
from sqlmodel import Field

from models.records.base import Row


class Pour(Row, table=True):
    """Active until `closed_at` is set; `placed_at` is the instant of the youngest batch.

    `learned` is what earlier pours had taught of its place and mix when it was logged: its own
    readings count once, as readings.
    """

    __tablename__ = "pour"
    __table_args__ = (
        CheckConstraint('"concrete_C" BETWEEN 1 AND 50', name="concrete_range"),
        CheckConstraint("water_added_l >= 0", name="water_not_negative"),
        CheckConstraint("bags > 0", name="bags_positive"),
    )

    mix_id: int = Field(foreign_key="mix.id", index=True)
    mould_id: int | None = Field(default=None, foreign_key="mould.id", index=True)
    piece_id: int = Field(foreign_key="piece.id", index=True)
    place_id: int = Field(foreign_key="place.id", index=True)
    sealer_id: int | None = Field(default=None, foreign_key="sealer.id", index=True)
    placed_at: datetime = Field(index=True)
    concrete_C: float | None = None
    water_added_l: float = 0.0
    bags: float | None = None
    bag_C: float | None = None
    water_C: float | None = None
    board_C: float | None = None
    note: str = ""
    closed_at: datetime | None = None
    closed_why: str = ""
    learned: dict[str, float] | None = Field(default=None, sa_type=JSON)
