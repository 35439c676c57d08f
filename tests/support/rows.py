"""What stands in a table of the store of a test."""

from typing import TypeVar

from sqlmodel import SQLModel, select

from service.store import Store

Row = TypeVar("Row", bound=SQLModel)


def rows(store: Store, table: type[Row]) -> list[Row]:
    with store.reading() as session:
        return list(session.exec(select(table)).all())


def only(store: Store, table: type[Row]) -> Row:
    with store.reading() as session:
        return session.exec(select(table)).one()
