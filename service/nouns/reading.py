"""What is read beside, on or in a piece; sets and films seen; a tile weighed."""

from datetime import datetime

from sqlmodel import Field

from models.records.fields import Instant, Temperature
from models.records.reading import ReadingBase
from service.nouns.base import Confirmable, ResponseBody, Stored
from service.nouns.controls import Controls, listed
from service.nouns.form import Control
from service.nouns.step import WHEN
from service.vocabulary import ReadingKind

READING_WORDS = {
    "air-min-max": "air, low and high",
    "air": "air, now",
    "concrete": "in the concrete",
    "surface": "on the face",
}
SHEET_WORDS = {
    "air": "Air",
    "air-min-max": "Air, low and high",
    "concrete": "In the concrete",
    "surface": "On the face",
    "humidity": "Humidity",
    "tile": "Witness tile",
}
SEEN_WORDS = {  # what the sheet takes besides, and asks more about
    "set": "It has set",
    "film": "Taped film",
    "note": "Note",
    "photo": "Photo",
}
SET_WORDS = {
    "initial-set": "firm: a thumb leaves no mark",
    "final-set": "hard: a nail leaves no dent",
}
LOOK_WORDS = {
    "corner-sound": "the coldest corner is sound",
    "corner-frosted": "prints of ice, or the corner scratches deeper",
}
DRYING_WORDS = {
    "tile": "witness tile, weighed",
    "film-wet": "taped film: water or a dark patch under it",
    "film-dry": "taped film: dry under it",
}


class ReadingWords(ReadingBase):
    kind: ReadingKind


class ReadingCreate(ReadingWords, Confirmable):
    value_C: Temperature | None = None  # of the four kinds that are read in degrees
    at: Instant | None = None


class ReadingRead(ReadingWords, Stored):
    pour_id: int
    place_id: int
    at: datetime
    value_C: float
    wrong: bool
    instrument: str | None = Field(description="what sent it by itself; none: somebody told it")
    spare: bool = Field(description="so near another of its instrument that nothing counts it")


class NotCounted(ResponseBody):
    """A reading that changes no window, and why."""

    at: datetime
    kind: ReadingKind
    why: str


class ReadingsTaken(ResponseBody):
    """What became of readings that came by themselves."""

    kept: int
    known: int = Field(description="kept before: the same instrument, instant and kind")
    left_out: list[NotCounted]
    set_aside: list[NotCounted] = Field(
        description="of those kept: marked wrong, since another unit fits much better"
    )


FILM_WORDS = {
    "film-wet": "water or a dark patch under it",
    "film-dry": "dry under it",
}
_reading = Controls(ReadingCreate)
_NOTE = _reading("note", "Note")
CONTROLS = [
    _reading(
        "kind",
        "What",
        "radio",
        options=listed(SHEET_WORDS | SEEN_WORDS),
        default="air-min-max",
        needed=True,
    ),
    Control("set", "How hard?", "radio", options=listed(SET_WORDS), default="initial-set"),
    Control("film", "What is under it?", "radio", options=listed(FILM_WORDS), default="film-wet"),
    Control("line", "What is to be kept", hint="Thumb at the north corner: still soft"),
    _reading("value_C", "Temperature"),
    _reading("value_max_C", "High"),
    _reading("rh_pct", "Relative humidity"),
    _reading("mass_g", "Mass of the tile"),
    _reading("span_h", "Over the last", default="12 h"),
    *WHEN,
    _NOTE,
]
SET_CONTROLS = [
    _reading(
        "kind",
        "What was seen",
        "radio",
        options=listed(SET_WORDS),
        default="initial-set",
        needed=True,
    ),
    *WHEN,
    _NOTE,
]
DRYING_CONTROLS = [
    _reading(
        "kind",
        "What was looked at",
        "radio",
        options=listed(DRYING_WORDS),
        default="tile",
        needed=True,
    ),
    _reading("mass_g", "Mass of the tile", hint="1840 g or 64.9 oz"),
    *WHEN,
    _NOTE,
]
LOOK_CONTROLS = [
    _reading(
        "kind",
        "What was seen",
        "radio",
        options=listed(LOOK_WORDS),
        default="corner-sound",
        needed=True,
    ),
    *WHEN,
    _NOTE,
]
