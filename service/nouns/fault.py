"""What went wrong with a piece, and what its log speaks for."""

from collections.abc import Sequence
from datetime import datetime

from pydantic import Field

from models.facts.faults import FAULTS
from models.message import Message
from models.piece.shape import Shape
from models.piece.spots import SPOTS
from models.planning.causes import Cause, Causes
from models.records.fault import PourFaultBase
from models.records.fields import Instant
from models.sources import SOURCES
from service.nouns.base import RequestBody, ResponseBody, Stored
from service.nouns.form import Control
from service.nouns.step import MOMENT
from service.vocabulary import CauseWord, FaultKind, PieceFace
from service.words import Reader, say, word


class PourFaultWords(PourFaultBase):
    kind: FaultKind
    face: PieceFace | None = None


class PourFaultCreate(PourFaultWords, RequestBody):
    at: Instant | None = Field(default=None, description="when it was seen; now when left out")


class PourFaultRead(PourFaultWords, Stored):
    pour_id: int
    at: datetime


class CauseRead(ResponseBody):
    """One cause, by its own number in the log."""

    cause: CauseWord
    found: str
    change: str = Field(description="what to do otherwise next time")
    likelier: float = Field(description="how many times likelier its number makes it; a judgement")
    chance: float = Field(description="that it had a part, as such things go; a judgement")
    speaks: bool = Field(description="whether the log speaks for it; it was looked at anyhow")
    sources: list[str]


class CausesRead(ResponseBody):
    """Causes by what the log holds of each; the likeliest first."""

    fault: FaultKind
    verdict: str
    causes: list[CauseRead]
    untold: list[CauseWord] = Field(description="of these the log holds nothing")

    @property
    def speaks_for(self) -> list[CauseRead]:
        return [one for one in self.causes if one.speaks]

    @property
    def silent(self) -> list[CauseRead]:
        return [one for one in self.causes if not one.speaks]


def causes_read(causes: Causes, reader: Reader) -> CausesRead:
    return CausesRead(
        fault=causes.fault,
        verdict=say(verdict(causes), reader),
        causes=[
            *(_cause(one, reader, speaks=True) for one in causes.speaks_for),
            *(_cause(one, reader, speaks=False) for one in causes.silent),
        ],
        untold=list(causes.untold),
    )


def verdict(causes: Causes) -> Message:
    """What the log says as a whole: nothing is an answer too."""
    if causes.missing is not None:
        return Message("causes_unknown", {"missing": causes.missing})
    if causes.fault == "other":
        return Message("causes_other")
    if not causes.speaks_for:
        return Message("causes_none", {"looked": float(len(causes.silent))})
    code = "causes_strong" if causes.speaks_for[0].strongly else "causes_weak"
    return Message(code, {"cause": causes.speaks_for[0].cause})


def _cause(one: Cause, reader: Reader, *, speaks: bool) -> CauseRead:
    return CauseRead(
        cause=one.cause,
        found=say(one.found, reader),
        change=say(one.change, reader),
        likelier=round(one.likelier, 1),
        chance=round(one.chance, 2),
        speaks=speaks,
        sources=[f"{key}: {SOURCES[key].title}" for key in one.sources],
    )


def controls(shape: Shape, reader: Reader, kind: str = "", spot: str = "") -> Sequence[Control]:
    kinds = tuple((one, word("fault", one, reader)) for one in FAULTS)
    spots = (("", "not told"), *((one, word("spot", one, reader)) for one in SPOTS))
    keys = dict.fromkeys(one.key for one in shape.faces)
    faces = (("", "not told"), *((key, word("face", key, reader)) for key in keys))
    return [
        Control("kind", "What is wrong", "choice", options=kinds, needed=True, default=kind),
        Control("photo", "Photo", "file"),
        Control("spot", "Where, seen from above", "choice", options=spots, default=spot),
        Control("face", "On which face", "choice", options=faces),
        MOMENT,
        Control("note", "Note", hint="how wide, how long, since when"),
    ]
