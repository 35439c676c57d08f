"""What if: another cover, heat, hour of stripping or mix for a pour, and what it would bring."""

from datetime import datetime

from pydantic import Field

from models.records.fields import Instant, Key, Temperature, Word
from service.answer_fields import Code
from service.answers import EarliestResponse
from service.nouns.base import RequestBody, ResponseBody
from service.nouns.plan import PlanEntryRead, PlanEntryWanted
from service.vocabulary import Faces, SetBy, StepState

NO_COVER = "none"


class WhatIfRequest(RequestBody):
    """What is tried beside the plan as it stands; what is left out stays as it is planned."""

    cover: Word | None = Field(
        default=None, description="what lies on it in place of every cover that is meant; or none"
    )
    faces: Faces | None = Field(default=None, description="where the cover lies")
    from_at: Instant | None = Field(
        default=None, alias="from", description="when cover or heat begins; left out: now"
    )
    until_at: Instant | None = Field(
        default=None, alias="until", description="when they end; left out: not within the answer"
    )
    heat: Temperature | None = Field(
        default=None,
        description="degC that electric heat keeps: in the enclosure, else in the room",
    )
    strip_at: Instant | None = Field(default=None, description="when the mould is stripped")
    mix_id: Key | None = Field(default=None, description="poured with another mix")
    acts: list[PlanEntryWanted] = Field(
        default_factory=list,
        max_length=100,
        description="further acts, each in place of the same step of the plan",
    )


class TriedStepRead(ResponseBody):
    """A step: when it opens, the hour at which it is meant, and its chance to be open then."""

    step: str
    state: StepState
    earliest: EarliestResponse
    level: float | None
    meant_at: datetime | None
    set_by: SetBy
    chance_then: float | None


class OutlookRead(ResponseBody):
    """The next steps; the chance of harm by frost in the coming three days, and the coldest corner
    then, at 10 % [degC]. `steps` is empty, the rest null, where there is no weather."""

    steps: list[TriedStepRead]
    frost_chance: float | None
    lowest_C: float | None


class WhatIfRead(ResponseBody):
    """As planned and as tried. `plan`: what PUT on the plan of the pour makes of the trial.

    The frost of `planned` counts no cover that is only meant; that of `tried` those tried here.
    """

    pour_id: int
    made_at: datetime
    planned: OutlookRead
    tried: OutlookRead
    plan: list[PlanEntryRead]
    missing: Code = Field(default=None, description="why nothing can be told")
    costs_more: float | None = Field(
        default=None, description="in the currency of the shop; less than 0: it saves"
    )
