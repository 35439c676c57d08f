"""All rows of one shop, table by table as they lie, for a file of it and to be rid of them."""

from collections.abc import Iterator, Mapping
from typing import Any

from sqlalchemy import Table, func
from sqlmodel import Session, select

from models.records.base import Row

AT_A_TIME = 50  # rows with their photos


def tables() -> list[Table]:
    """All that shops own, each after those it refers to."""
    return [one for one in Row.metadata.sorted_tables if "shop_id" in one.c]


def ids(session: Session, table: Table, shop_id: int) -> list[int]:
    wanted = select(table.c.id).where(table.c.shop_id == shop_id).order_by(table.c.id)
    return list(session.execute(wanted).scalars())


def rows(session: Session, table: Table, shop_id: int) -> Iterator[Mapping[str, Any]]:
    """In the order of their keys, a few at a time."""
    wanted: Any = select(table).where(table.c.shop_id == shop_id)  # type: ignore[call-overload]
    found = session.execute(wanted.order_by(table.c.id).execution_options(yield_per=AT_A_TIME))
    for row in found:
        yield dict(row._mapping)


def shop_row(session: Session, shop_id: int) -> Mapping[str, Any]:
    table = Row.metadata.tables["shop"]
    wanted: Any = select(table).where(table.c.id == shop_id)  # type: ignore[call-overload]
    return dict(session.execute(wanted).one()._mapping)


def next_id(session: Session, table: Table) -> int:
    """A key after all of the table."""
    newest = session.execute(select(func.max(table.c.id))).scalar()
    return int(newest or 0) + 1


def taken(session: Session, table: Table, column: str, values: list[str]) -> str | None:
    """One of these values that a row of the server has."""
    found: str | None = None
    for k in range(0, len(values), 500):
        wanted = select(table.c[column]).where(table.c[column].in_(values[k : k + 500])).limit(1)
        found = found or session.execute(wanted).scalar()
    return found
