"""A pour: which mix went into which mould, where, when and how warm."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Logged
from models.records.fields import (
    Hours,
    Key,
    Note,
    Number,
    Several,
    Temperature,
    Volume,
    Word,
    YesNo,
)

SEALED_AS = ("even", "cloudy", "sticky", "peeling")
HELD_UP = ("clean", "chipped", "cracked", "stained")


class PourPlan(SQLModel):
    """What is told of a pour before it is poured; all of it may stay untold."""

    mould_id: Key | None = Field(default=None, foreign_key="mould.id", index=True)
    concrete_C: Temperature | None = None
    bag_C: Temperature | None = None
    water_C: Temperature | None = None
    board_C: Temperature | None = Field(default=None, description="the mould as it is cast in")
    placing_h: Hours | None = Field(
        default=None, description="how long mixing and placing all of it takes"
    )


class PourDetails(PourPlan):
    """What may be emptied again."""

    sealer_id: Key | None = Field(default=None, foreign_key="sealer.id", index=True)
    bags: Number | None = None
    series_of: Several | None = Field(
        default=None, description="how many of it are to be made, one like the other"
    )


class PourBase(PourDetails):
    mix_id: Key = Field(foreign_key="mix.id", index=True)
    piece_id: Key = Field(foreign_key="piece.id", index=True)
    place_id: Key = Field(foreign_key="place.id", index=True)
    water_added_l: Volume = 0.0
    burner_fitted: YesNo = Field(
        default=False, description="its burner was connected and tried by who is allowed to"
    )
    measures: list[Word] = Field(default_factory=list, sa_type=JSON)
    sealer_then: list[Key] = Field(
        default_factory=list,
        sa_type=JSON,
        description="the products that follow the sealer, in their order",
    )
    delivered: YesNo = Field(default=False, description="it goes to a client")
    note: Note = ""


class Pour(PourBase, Logged, table=True):
    """Active until `closed_at` is set; `placed_at` is the instant of the youngest batch.

    `learned` is what earlier pours had taught of its place and mix when it was logged: its own
    readings count once, as readings. `plan` is what its maker means to do: step, at, cover, heat.
    `series_id` : the first of its series, which it was poured like; None of the first.
    `poured` holds by noun what its piece, mix, place, mould and sealer were: no later change of
    theirs is one of it. `ticked` says since when what of its check list was looked at.
    """

    __tablename__ = "pour"
    __table_args__ = (
        CheckConstraint('"concrete_C" BETWEEN 1 AND 50', name="concrete_range"),
        CheckConstraint("water_added_l >= 0", name="water_not_negative"),
        CheckConstraint("bags > 0", name="bags_positive"),
        CheckConstraint("series_of > 0", name="series_positive"),
    )

    placed_at: datetime = Field(index=True)
    # the pour whose batches are its own too: several pieces of one mixing
    poured_with_id: int | None = Field(default=None, foreign_key="pour.id", index=True)
    closed_at: datetime | None = None
    closed_why: str = ""
    learned: dict[str, float] | None = Field(default=None, sa_type=JSON)
    plan: list[dict[str, str | float | None]] = Field(default_factory=list, sa_type=JSON)
    poured: dict[str, dict[str, Any]] = Field(default_factory=dict, sa_type=JSON)
    series_id: int | None = Field(default=None, foreign_key="pour.id", index=True)
    ticked: dict[str, str] = Field(default_factory=dict, sa_type=JSON)
    sealed_as: Word | None = None  # a week after its last coat: one of SEALED_AS
    held_up: Word | None = None  # a month on: one of HELD_UP
