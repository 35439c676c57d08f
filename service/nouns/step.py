"""A step that somebody did."""

from datetime import datetime

from models.records.fields import Instant
from service.nouns.base import RequestBody, Stored
from service.nouns.controls import Controls


class StepDoneCreate(RequestBody):
    at: Instant | None = None


class StepDoneRead(Stored):
    pour_id: int
    step: str
    at: datetime
    undone_at: datetime | None


MOMENT = Controls(StepDoneCreate)("at", "When (empty: now)")
