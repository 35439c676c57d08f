"""One batch of a pour, as it was mixed."""

from datetime import datetime

from models.records.batch import BatchBase
from models.records.fields import Instant
from service.nouns.base import RequestBody, Stored
from service.nouns.controls import Controls


class BatchCreate(BatchBase, RequestBody):
    at: Instant | None = None


class BatchRead(BatchBase, Stored):
    pour_id: int
    at: datetime


_batch = Controls(BatchCreate)
CONTROLS = [
    _batch("bags", "Bags", hint="3 or 2 1/2"),
    _batch("water_l", "Water", hint="6 l or 6.3 qt"),
    _batch("concrete_C", "Its temperature", hint="18 C or 64 F"),
    _batch("at", "When (empty: now)"),
    _batch("note", "Note"),
]
