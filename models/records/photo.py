"""A photo of a pour, kept whole beside the rows it belongs to."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from models.records.base import Logged


class Photo(Logged, table=True):
    """`content` is what is served: the picture without what the camera wrote about the place."""

    __tablename__ = "photo"
    __table_args__ = (
        CheckConstraint(
            "media_type IN ('image/jpeg', 'image/png', 'image/webp')", name="media_type_known"
        ),
        CheckConstraint("size_bytes BETWEEN 1 AND 8000000", name="size_range"),
    )

    pour_id: int = Field(foreign_key="pour.id", index=True, ondelete="CASCADE")
    at: datetime
    step: str | None = None
    note: str = ""
    media_type: str
    size_bytes: int
    sha256: str
    content: bytes  # last: SQLite then reads the columns before it without touching it
