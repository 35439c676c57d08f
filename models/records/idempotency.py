"""The answer that was given to a request, so that a repeat gets the same one."""

from typing import Any

from sqlalchemy import JSON
from sqlmodel import Field

from models.records.base import OfShop, once_a_shop


class IdempotencyKey(OfShop, table=True):
    __tablename__ = "idempotency_key"
    __table_args__ = (once_a_shop("key"),)

    key: str = Field(max_length=200)
    request_hash: str
    status: int
    answer: Any = Field(default=None, sa_type=JSON)
