"""The plan of a pour: what its maker means to do, in the words in which an answer prints it."""

from datetime import datetime

from pydantic import Field

from models.records.fields import Instant, Temperature, Word
from service.nouns.base import RequestBody, ResponseBody


class PlanEntryWanted(RequestBody):
    """One act; `set_by` may stand there as it was printed, what is told here is its maker's."""

    step: Word
    at: Instant
    cover: Word | None = Field(default=None, description="what cover lays on, or uncover takes off")
    heat: Temperature | None = Field(
        default=None, description="degC of a heated enclosure, or with heat-on of the room"
    )
    place: Word | None = Field(default=None, description="where carry-in or carry-out takes it")
    faces: Word | None = Field(default=None, description="where a cover lies: top | sides | all")
    set_by: Word = "maker"


class PlanWanted(RequestBody):
    """All that is meant; an empty list leaves every hour to the program."""

    plan: list[PlanEntryWanted] = Field(max_length=100)


class PlanEntryRead(ResponseBody):
    step: str
    at: datetime
    cover: str | None
    heat: float | None
    place: str | None = None
    faces: str | None = None


class PlanRead(ResponseBody):
    """What is kept of a plan: the acts that its maker means to do."""

    plan: list[PlanEntryRead]
