"""A step that somebody did."""

from datetime import datetime

from sqlalchemy import CheckConstraint, Index, text
from sqlmodel import Field

from models.records.base import Logged
from models.records.fields import Word

CAME_OUT = ("clean", "chipped", "stuck", "cracked")


class StepDone(Logged, table=True):
    """Undoing keeps the row and sets `undone_at`; a step stands at most once for a pour."""

    __tablename__ = "step_done"
    __table_args__ = (
        CheckConstraint("took_min BETWEEN 1 AND 1440", name="took_within_a_day"),
        Index(
            "uq_step_done_standing",
            "pour_id",
            "step",
            unique=True,
            sqlite_where=text("undone_at IS NULL"),
            postgresql_where=text("undone_at IS NULL"),
        ),
    )

    pour_id: int = Field(foreign_key="pour.id", index=True, ondelete="CASCADE")
    step: str
    at: datetime
    undone_at: datetime | None = None
    came_out: Word | None = None  # of the strip: one of CAME_OUT
    took_min: int | None = None
