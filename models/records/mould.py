"""A mould: the board it is made of, the piece it is built for, how it is kept; its faults."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from models.records.base import Logged, Owned, once_a_shop
from models.records.fields import Hours, Key, Length, Name, Note, Word, YesNo

ROOM = ("stripped", "another")  # what makes room in a mould that holds a pour
STATES = ("empty", "set up", "holding", "cleaning", "broken", "put away")
BROKEN = "broken"
FAULTS = (
    "leaking seam",
    "bowed wall",
    "swollen board",
    "scratched face",
    "sticks",
    BROKEN,
    "other",
)


class MouldBase(SQLModel):
    name: Name
    material: Word = "melamine"
    thickness_mm: Length = 16.0
    brace_spacing_mm: Length | None = None
    rim_held: YesNo = False
    screw_spacing_mm: Length | None = None
    screw_diameter_mm: Length | None = None
    screw_length_mm: Length | None = None
    piece_id: Key | None = Field(default=None, foreign_key="piece.id", index=True)
    alike_id: Key | None = Field(
        default=None,
        foreign_key="mould.id",
        index=True,
        description="the mould that this is another of",
    )
    release_agent: Word = ""
    turnaround_h: Hours | None = Field(
        default=None, description="from the strip until it is cleaned, released and put together"
    )


class Mould(MouldBase, Owned, table=True):
    """`released_at` : when release agent was last applied."""

    __tablename__ = "mould"
    __table_args__ = (
        once_a_shop("name"),
        CheckConstraint("thickness_mm > 0", name="thickness_positive"),
        CheckConstraint("turnaround_h >= 0", name="turnaround_not_negative"),
    )

    released_at: datetime | None = None


class MouldFaultBase(SQLModel):
    kind: Word
    note: Note = ""


class MouldFault(MouldFaultBase, Logged, table=True):
    """What went wrong with a mould, with a photo where one was taken; mended or removed it stays.

    `content` is what is served: the picture without what the camera wrote about the place.
    """

    __tablename__ = "mould_fault"
    __table_args__ = (
        CheckConstraint(
            "media_type IN ('image/jpeg', 'image/png', 'image/webp')", name="media_type_known"
        ),
        CheckConstraint("(media_type IS NULL) = (content IS NULL)", name="whole_photo"),
    )

    mould_id: int = Field(foreign_key="mould.id", index=True, ondelete="CASCADE")
    at: datetime
    mended_at: datetime | None = None
    removed_at: datetime | None = None
    media_type: str | None = None
    size_bytes: int | None = None
    sha256: str | None = None
    content: bytes | None = None  # last: SQLite then reads the columns before it without it
