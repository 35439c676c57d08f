"""A secret of a machine: an instrument that writes readings, a screen that only shows."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from models.records.base import OfShop
from models.records.fields import Name, Word

KINDS = ("instrument", "screen")


class Token(OfShop, table=True):
    """Of the secret only the digest is kept. An instrument belongs to one place or to one pour."""

    __tablename__ = "token"
    __table_args__ = (
        CheckConstraint("kind IN ('instrument', 'screen')", name="kind_known"),
        CheckConstraint(
            "kind <> 'instrument' OR (place_id IS NULL) <> (pour_id IS NULL)", name="one_target"
        ),
    )

    name: Name
    kind: Word
    place_id: int | None = Field(
        default=None, foreign_key="place.id", index=True, ondelete="CASCADE"
    )
    pour_id: int | None = Field(default=None, foreign_key="pour.id", index=True, ondelete="CASCADE")
    digest: str = Field(unique=True)
    used_at: datetime | None = None
    revoked_at: datetime | None = None
