"""Whose name stands beside what is logged: set once a request, written with each row."""

from contextvars import ContextVar
from typing import Any

from sqlalchemy import event
from sqlmodel import Session

from models.records.base import Logged

writer: ContextVar[str] = ContextVar("writer", default="")


@event.listens_for(Session, "before_flush")
def _sign(session: Session, *_: Any) -> None:
    name = writer.get()
    if not name:
        return
    for row in session.new:
        if isinstance(row, Logged) and row.logged_by is None:
            row.logged_by = name
