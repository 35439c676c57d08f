"""A cover: what the shop owns, and what lies on a pour from when to when."""

from datetime import datetime

from pydantic import Field

from models.concrete.section import FACES
from models.facts.protection import COVERS, HEATERS
from models.records.fields import Instant, Several
from models.records.protection import CoverBase, LaidBase
from service.nouns.base import RequestBody, ResponseBody, Stored
from service.nouns.controls import Controls, listed
from service.nouns.step import WHEN
from service.vocabulary import CoverKind, Faces, Heater
from service.words import word

COVER_WORDS = {kind: word("cover", kind) for kind in COVERS}
FACES_WORDS = {faces: word("faces", faces) for faces in FACES}


class CoverWords(CoverBase):
    kind: CoverKind
    heater: Heater | None = None


class LaidWords(CoverWords, LaidBase):
    faces: Faces = Field(default="top", description="sides: the top too")


class Owned(CoverWords):
    count: Several | None = Field(
        default=None,
        description="how many there are; none: enough. Two blankets are counted as blankets",
    )


class Cover(Owned, RequestBody):
    """What a shop owns."""

    faces: Faces | None = Field(
        default=None, description="untold: hung down the sides where proposed"
    )


class CoverRead(Owned, ResponseBody):
    """The same as it is kept."""

    faces: Faces | None = None


class ProtectionCreate(LaidWords, RequestBody):
    from_at: Instant | None = None
    to_at: Instant | None = None


class ProtectionRead(LaidWords, Stored):
    pour_id: int
    from_at: datetime
    to_at: datetime | None


_cover = Controls(ProtectionCreate)
HEATER_OPTIONS = (("", "not told"), *((kind, word("heater", kind)) for kind in HEATERS))
CONTROLS = [
    _cover("kind", "Cover", "radio", options=listed(COVER_WORDS), default="blanket", needed=True),
    _cover("setpoint_C", "Enclosure kept at", default="15 C or 60 F"),
    _cover("heater", "Heater", "choice", options=HEATER_OPTIONS),
    _cover("faces", "Where", "radio", options=listed(FACES_WORDS), default="top", needed=True),
    _cover("R_m2K_W", "Its own insulation value", hint="0.5 m2K/W; empty: typical"),
    *WHEN,
]
