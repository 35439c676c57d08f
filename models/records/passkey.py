"""Keys of phones that sign a person in, and what each is asked to sign, once (W3C WebAuthn)."""

from datetime import datetime

from sqlmodel import Field

from models.records.base import OfShop, Row
from models.records.fields import Name, Word


class Passkey(OfShop, table=True):
    """The public half; the phone keeps the other and signs with it for `host` alone."""

    __tablename__ = "passkey"

    person_id: int = Field(foreign_key="person.id", index=True, ondelete="CASCADE")
    name: Name
    host: Word
    credential: str = Field(unique=True)  # its number, base64url
    public_key: str  # base64url of its COSE form
    sign_count: int
    used_at: datetime | None = None


class Challenge(Row, table=True):
    """What a phone is to sign, of which only the digest is kept; gone with its first use. Of a
    person who is in it is there to add a key, of nobody to sign in."""

    __tablename__ = "challenge"

    digest: str = Field(unique=True)
    person_id: int | None = Field(
        default=None, foreign_key="person.id", index=True, ondelete="CASCADE"
    )
    until: datetime
