"""A step that somebody did."""

from datetime import datetime, timedelta
from typing import Annotated

from pydantic import Field, Strict

from models.records.fields import Instant
from service.nouns.base import RequestBody, Stored
from service.nouns.controls import Controls
from service.nouns.form import Control, Form
from service.vocabulary import CameOut, HeldUp, SealedAs

Minutes = Annotated[int, Strict(), Field(ge=1, le=1440)]


class StepDoneCreate(RequestBody):
    at: Instant | None = None
    took_min: Minutes | None = Field(
        default=None, description="minutes of work, by which those of the plan are learned"
    )


class StepDoneRead(Stored):
    pour_id: int
    step: str
    at: datetime
    undone_at: datetime | None
    came_out: CameOut | None
    took_min: int | None


class HowRequest(RequestBody):
    how: CameOut | None = Field(description="null: not told")


class HowItSealed(RequestBody):
    how: SealedAs | None = Field(description="null: not told")


class HowItHeldUp(RequestBody):
    how: HeldUp | None = Field(description="null: not told")


TOOK = Controls(StepDoneCreate)("took_min", "Minutes it took")
MOMENT = Controls(StepDoneCreate)("at", "When (empty: now)")
AGO = Control(
    "ago",
    "When",
    "radio",
    options=(("0", "now"), ("30", "half an hour ago"), ("60", "an hour ago")),
    default="0",
)
WHEN = (AGO, Controls(StepDoneCreate)("at", "Or at"))


def moment_of(form: Form, now: datetime, zone: str) -> datetime:
    """The instant that the chips and the clock beside them tell: a time that was typed counts."""
    typed: datetime | None = form.value("at", zone)
    minutes = int(form.value("ago") or 0) if "ago" in form.fields else 0
    return typed or now - timedelta(minutes=minutes)
