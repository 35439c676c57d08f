"""What the clock does again and again: fetch a forecast, project a pour, beat."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from models.records.base import OfShop, once_a_shop


class Job(OfShop, table=True):
    """Due at `due_at`; a failure is written here and pushes `due_at` ahead."""

    __tablename__ = "duty"
    __table_args__ = (
        once_a_shop("key"),
        CheckConstraint(
            "(kind = 'weather' AND place_id IS NOT NULL AND pour_id IS NULL)"
            " OR (kind = 'projection' AND pour_id IS NOT NULL AND place_id IS NULL)"
            " OR (kind IN ('beat', 'plan') AND pour_id IS NULL AND place_id IS NULL)",
            name="subject",
        ),
        CheckConstraint("attempt >= 0", name="attempt_not_negative"),
    )

    kind: str
    key: str
    place_id: int | None = Field(
        default=None, foreign_key="place.id", index=True, ondelete="CASCADE"
    )
    pour_id: int | None = Field(default=None, foreign_key="pour.id", index=True, ondelete="CASCADE")
    due_at: datetime = Field(index=True)
    asked: int = 0  # counts the askings, so that an outdated result is noticed
    claimed_until: datetime | None = None
    attempt: int = 0
    succeeded_at: datetime | None = None
    failed_at: datetime | None = None
    failure: str = ""
