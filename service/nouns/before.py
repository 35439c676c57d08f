"""The check list before a pour."""

from datetime import datetime

from pydantic import Field

from models.records.fields import Word
from service.nouns.base import RequestBody, ResponseBody


class TickedRequest(RequestBody):
    """All that is looked at; what is left out is not."""

    ticked: list[Word] = Field(max_length=40)


class ItemRead(ResponseBody):
    """`says` are codes and their numbers; `ticked_at` null: not yet."""

    key: str
    says: list[dict[str, object]]
    ticked_at: datetime | None


class BeforeRead(ResponseBody):
    """`ready` once everything is ticked."""

    pour_id: int
    items: list[ItemRead]
    ready: bool
