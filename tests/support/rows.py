"""What stands in a table of the store of a test."""

from typing import TypeVar

from sqlmodel import SQLModel, select

from models.records import Row as Kept
from service.store import Store

Row = TypeVar("Row", bound=SQLModel)
Keyed = TypeVar("Keyed", bound=Kept)


def rows(store: Store, table: type[Row]) -> list[Row]:
    with store.reading() as session:
        return list(session.exec(select(table)).all())


def only(store: Store, table: type[Row]) -> Row:
    with store.reading() as session:
        return session.exec(select(table)).one()


def newest(store: Store, table: type[Keyed]) -> Keyed:
    return max(rows(store, table), key=lambda row: row.id)
