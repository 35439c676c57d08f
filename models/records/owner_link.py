"""The code that opens the page of a piece to whoever owns it."""

from datetime import datetime

from sqlmodel import Field

from models.records.base import OfShop


class OwnerLink(OfShop, table=True):
    """Of one pour, which has one that counts. Whoever has `code` reads the care of that piece and
    nothing of the shop, so nobody may guess it."""

    __tablename__ = "owner_link"

    code: str = Field(unique=True)
    pour_id: int = Field(foreign_key="pour.id", index=True, ondelete="CASCADE")
    revoked_at: datetime | None = None
