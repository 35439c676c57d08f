"""The code on a sticker: what a square on a mould or on a piece leads to."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from models.records.base import OfShop


class Sticker(OfShop, table=True):
    """Of one mould or one pour, each of which has one that counts. Whoever reads `code` learns the
    name alone, so nobody may guess it."""

    __tablename__ = "sticker"
    __table_args__ = (
        CheckConstraint("(mould_id IS NULL) <> (pour_id IS NULL)", name="one_target"),
    )

    code: str = Field(unique=True)
    mould_id: int | None = Field(
        default=None, foreign_key="mould.id", index=True, ondelete="CASCADE"
    )
    pour_id: int | None = Field(default=None, foreign_key="pour.id", index=True, ondelete="CASCADE")
    revoked_at: datetime | None = None
