"""The rows of a shop are found by it, and readings by their place, however many shops there are."""

import pytest
from sqlalchemy import literal_column, text
from sqlmodel import col, select

from models.records import Mix, Mould, Order, Owned, Piece, Place, Reading, Sealer, Stock
from service.store import Store
from service.store.shops import ALL, within
from tests.support.shop import Bench

OWNED: tuple[type[Owned], ...] = (Mix, Mould, Order, Piece, Place, Sealer, Stock)


def plan(store: Store, statement: object) -> str:
    """How SQLite would go about it."""
    asked = str(statement.compile(store.engine, compile_kwargs={"literal_binds": True}))  # type: ignore[attr-defined]
    with within(ALL), store.reading() as session:
        found = session.connection().execute(text(f"EXPLAIN QUERY PLAN {asked}"))
        return " ".join(row.detail for row in found)


@pytest.mark.parametrize("table", OWNED)
def test_what_a_shop_owns_is_found_by_its_index(store: Store, table: type[Owned]) -> None:
    assert set(OWNED) == set(Owned.__subclasses__())
    wanted = select(table).where(table.shop_id == 2, table.archived_at == None)  # noqa: E711
    assert f"USING INDEX ix_{table.__tablename__}_shop_id" in plan(store, wanted)


def test_readings_are_found_by_place_and_hour(store: Store, bench: Bench) -> None:
    wanted = select(Reading).where(
        Reading.shop_id == 1,
        Reading.place_id == bench.place_id,
        col(Reading.at) > literal_column("0"),
    )
    assert "ix_reading_place_id_at" in plan(store, wanted)
