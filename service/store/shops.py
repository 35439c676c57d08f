"""The shop that the work at hand is for: whatever a session reads or writes is narrowed to it.

A session belongs to one shop from its beginning, or to the server, which sees every shop: who asks
is looked up so, and what the clock has to do. A row of another shop is as one that is not there.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache
from typing import Any

from sqlalchemy import ColumnClause, column, event
from sqlalchemy.orm import LoaderCriteriaOption, ORMExecuteState, with_loader_criteria
from sqlmodel import Session

from models.records import OfShop

FIRST = 1  # the one that the server itself opens; alone on most of them
NOBODYS = 0  # has no row at all
ALL = None
_shop: ContextVar[int | None] = ContextVar("shop", default=FIRST)


@contextmanager
def within(shop_id: int | None) -> Iterator[None]:
    """Sessions that are begun here are of this shop, or see ALL of them."""
    token = _shop.set(shop_id)
    try:
        yield
    finally:
        _shop.reset(token)


def now_within() -> int | None:
    return _shop.get()


def shop_of(session: Session) -> int | None:
    """The shop of a session, from its first statement on."""
    found: int | None = session.info.setdefault("shop", _shop.get())
    return found


class _Tables:
    """Stands for all classes of OfShop, whose own column only their tables have."""

    shop_id: ColumnClause[int] = column("shop_id")

    @classmethod
    def __subclasses__(cls) -> list[type[OfShop]]:
        return OfShop.__subclasses__()


@event.listens_for(Session, "do_orm_execute")
def _narrow(state: ORMExecuteState) -> None:
    shop_id = shop_of(state.session)  # type: ignore[arg-type]
    if shop_id is ALL:
        return
    if not state.is_orm_statement:
        raise AssertionError(f"a statement that no shop narrows: {state.statement}")
    if not state.is_insert:
        state.statement = state.statement.options(_own(shop_id))


@lru_cache(maxsize=1000)
def _own(shop_id: int) -> LoaderCriteriaOption:
    return with_loader_criteria(_Tables, lambda cls: cls.shop_id == shop_id, include_aliases=True)


@event.listens_for(Session, "before_flush")
def _belong(session: Session, *_: Any) -> None:
    shop_id = shop_of(session)
    for row in session.new:
        if isinstance(row, OfShop):
            if row.shop_id is None:
                row.shop_id = shop_id
            if not row.shop_id or shop_id not in (ALL, row.shop_id):
                raise AssertionError(f"a {type(row).__name__} of shop {row.shop_id}, not {shop_id}")
