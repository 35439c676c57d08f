"""The answer that was given to a request, so that a repeat gets the same one."""

from typing import Any

from sqlalchemy import JSON
from sqlmodel import Field

from models.records.base import Row


class IdempotencyKey(Row, table=True):
    __tablename__ = "idempotency_key"

    key: str = Field(unique=True, max_length=200)
    request_hash: str
    status: int
    answer: Any = Field(default=None, sa_type=JSON)
