"""Who works in the shop, where each is signed in, and who is asked to join."""

from datetime import datetime, time
from typing import Any

from sqlalchemy import JSON, CheckConstraint
from sqlmodel import Field

from models.records.base import NULLABLE_JSON, OfShop, once_a_shop
from models.records.fields import Name, Word

ROLES = ("owner", "helper", "viewer")


class Person(OfShop, table=True):
    """One who left keeps the row, so that what was done by them stays said.

    Of notices each has their own kinds, lead, hours and addresses beside their phones; None: as the
    shop has it. `may_hear` holds the kinds that the owner lets them be told; None: all. `reads` are
    the units, the language and the clock that they chose last, in which they are told.
    """

    __tablename__ = "person"
    __table_args__ = (
        once_a_shop("name"),
        CheckConstraint("role IN ('owner', 'helper', 'viewer')", name="role_known"),
        CheckConstraint("notice_lead_min BETWEEN 0 AND 720", name="notice_lead_range"),
        CheckConstraint("(quiet_from IS NULL) = (quiet_to IS NULL)", name="quiet_both"),
    )

    name: Name
    role: Word
    password_hash: str
    left_at: datetime | None = None
    notice_kinds: list[str] | None = Field(default=None, sa_type=NULLABLE_JSON)
    notice_lead_min: int | None = None
    quiet_from: time | None = None
    quiet_to: time | None = None
    frost_wakes: bool | None = None
    notice_addresses: list[str] = Field(default_factory=list, sa_type=JSON)
    may_hear: list[str] | None = Field(default=None, sa_type=NULLABLE_JSON)
    reads: dict[str, Any] | None = Field(default=None, sa_type=NULLABLE_JSON)


class SignIn(OfShop, table=True):
    """A browser of a person. Of its secret only the digest is kept."""

    __tablename__ = "sign_in"

    person_id: int = Field(foreign_key="person.id", index=True, ondelete="CASCADE")
    digest: str = Field(unique=True)
    seen_at: datetime
    browser: Word = ""


class Invitation(OfShop, table=True):
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
