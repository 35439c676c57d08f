"""One attempt to send one notice over one channel; the row stands before the send."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from models.records.base import OfShop

OUTCOMES = ("started", "sent", "failed", "refused")


class Delivery(OfShop, table=True):
    """`channel` never holds an address: an address is a secret. A test is of no reminder.
    `person_id` is whom it was for; None: the shop, or a test.
    """

    __tablename__ = "delivery"
    __table_args__ = (CheckConstraint(f"outcome IN {OUTCOMES}", name="outcome_known"),)

    reminder_id: int | None = Field(
        default=None, foreign_key="reminder.id", index=True, ondelete="CASCADE"
    )
    person_id: int | None = Field(
        default=None, foreign_key="person.id", index=True, ondelete="SET NULL"
    )
    channel: str
    attempt: int
    at: datetime
    finished_at: datetime | None = None
    outcome: str = "started"
    reason: str = ""
