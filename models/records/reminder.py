"""A notice that is owed: when, until when, and how far it got."""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, CheckConstraint
from sqlmodel import Field

from models.records.base import OfShop

STATES = ("waiting", "held", "sent", "listed", "cancelled", "expired", "failed")
KINDS = ("opens", "closes", "correction", "frost", "rain", "wind")


class Reminder(OfShop, table=True):
    """waiting: nobody has heard it yet; sent: somebody has, and until `done_at` it is owed to the
    others; held: its step is blocked; listed: nobody to send to, calendar only.

    `window_at` is the instant of the physics, `due_at` when the first is told who was not yet. When
    each is told follows from `wanted_at`, `until_at` (it can be acted upon) and `planned_at`; with
    `asked_at` it is told once more, to `asked_by_id` alone; None: to everybody.
    `round` counts up when a sent notice became wrong; `changes` is the calendar's SEQUENCE.
    """

    __tablename__ = "reminder"
    __table_args__ = (
        CheckConstraint(f"state IN {STATES}", name="state_known"),
        CheckConstraint(f"kind IN {KINDS}", name="kind_known"),
        CheckConstraint("not_after >= due_at", name="ends_after_due"),
        CheckConstraint("attempt >= 0 AND changes >= 0 AND round >= 1", name="counts"),
    )

    pour_id: int = Field(foreign_key="pour.id", index=True, ondelete="CASCADE")
    step: str
    kind: str
    round: int = 1
    key: str = Field(unique=True)
    window_at: datetime
    due_at: datetime = Field(index=True)
    not_after: datetime
    wanted_at: datetime | None = None
    until_at: datetime | None = None
    planned_at: datetime | None = None
    asked_at: datetime | None = None
    asked_by_id: int | None = Field(
        default=None, foreign_key="person.id", index=True, ondelete="SET NULL"
    )
    state: str = Field(default="waiting", index=True)
    claimed_until: datetime | None = None
    attempt: int = 0
    done_at: datetime | None = None
    superseded_at: datetime | None = None
    changed_at: datetime
    changes: int = 0
    facts: dict[str, Any] = Field(sa_type=JSON)
