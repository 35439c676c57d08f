"""Who works in the shop, where each is signed in, and who is asked to join."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field

from models.records.base import Row
from models.records.fields import Name, Word

ROLES = ("owner", "helper", "viewer")


class Person(Row, table=True):
    """One who left keeps the row, so that what was done by them stays said."""

    __tablename__ = "person"
    __table_args__ = (CheckConstraint("role IN ('owner', 'helper', 'viewer')", name="role_known"),)

    name: Name = Field(unique=True)
    role: Word
    password_hash: str
    left_at: datetime | None = None


class SignIn(Row, table=True):
    """A browser of a person. Of its secret only the digest is kept."""

    __tablename__ = "sign_in"

    person_id: int = Field(foreign_key="person.id", index=True, ondelete="CASCADE")
    digest: str = Field(unique=True)
    seen_at: datetime
    browser: Word = ""


class Invitation(Row, table=True):
    """A link that lets somebody in once; of a person who is there: to a new password."""

    __tablename__ = "invitation"
    __table_args__ = (CheckConstraint("role IN ('owner', 'helper', 'viewer')", name="role_known"),)

    digest: str = Field(unique=True)
    role: Word
    name: Word = ""
    person_id: int | None = Field(
        default=None, foreign_key="person.id", index=True, ondelete="CASCADE"
    )
    until: datetime
    used_at: datetime | None = None
