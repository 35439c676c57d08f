"""A step that somebody did."""

from datetime import datetime

from service.nouns.base import Instant, RequestBody, Stored


class StepDoneCreate(RequestBody):
    at: Instant | None = None


class StepDoneRead(Stored):
    pour_id: int
    step: str
    at: datetime
    undone_at: datetime | None
