"""The plan of a pour: what its maker means to do, in the words in which an answer prints it."""

from datetime import datetime

from pydantic import Field

from models.records.fields import Instant, Temperature, Word
from service.nouns.base import RequestBody, ResponseBody
from service.vocabulary import CoverKind, Faces, PlanPlace, SetBy


class PlanEntryWanted(RequestBody):
    """One act; `set_by` may stand there as it was printed, what is told here is its maker's."""

    step: Word
    at: Instant
    cover: CoverKind | None = Field(
        default=None, description="what cover lays on, or uncover takes off"
    )
    heat: Temperature | None = Field(
        default=None, description="degC of a heated enclosure, or with heat-on of the room"
    )
    place: PlanPlace | None = Field(
        default=None, description="where carry-in or carry-out takes it"
    )
    faces: Faces | None = Field(default=None, description="where a cover lies")
    set_by: SetBy = "maker"


class PlanWanted(RequestBody):
    """All that is meant; an empty list leaves every hour to the program."""

    plan: list[PlanEntryWanted] = Field(max_length=100)


class PlanEntryRead(ResponseBody):
    step: str
    at: datetime
    cover: CoverKind | None
    heat: float | None
    place: PlanPlace | None = None
    faces: Faces | None = None


class PlanRead(ResponseBody):
    """What is kept of a plan: the acts that its maker means to do."""

    plan: list[PlanEntryRead]
