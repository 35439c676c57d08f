"""A place may have a million readings: what is asked of them goes by an index to those wanted."""

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import event, text
from sqlmodel import Session, select

from models.records import Mix, Place, Pour
from service.queries import calibration, pours
from service.store import Store
from tests.support.shop import Bench

ASKED: dict[str, tuple[Callable[[Session, datetime], object], str]] = {
    "a pour": (
        lambda session, _: pours.readings_of(
            session, session.exec(select(Pour)).one(), spare=False
        ),
        "place_id_at",
    ),
    "what a place learns from": (
        lambda session, now: calibration.readings_between(
            session, session.exec(select(Place)).one(), now - timedelta(days=30), now, 100
        ),
        "place_id_at",
    ),
    "what is new of a place": (
        lambda session, now: calibration.has_reading(
            session, session.exec(select(Place)).one(), now
        ),
        "place_id_created_at",
    ),
    "what is new of a mix": (
        lambda session, now: calibration.has_result(session, session.exec(select(Mix)).one(), now),
        "pour_id_kind",
    ),
}


@pytest.mark.parametrize("asked", ASKED)
def test_readings_are_found_by_an_index(
    any_store: Store,
    furnished: Callable[[Store, datetime], Bench],
    now: datetime,
    asked: str,
) -> None:
    bench = furnished(any_store, now)
    with any_store.unit_of_work() as session:
        session.add(
            Pour(
                created_at=now,
                mix_id=bench.mix_id,
                piece_id=bench.piece_id,
                place_id=bench.place_id,
                placed_at=now - timedelta(hours=1),
                concrete_C=15.0,
            )
        )
    ask, index = ASKED[asked]
    with any_store.reading() as session:
        plan = plans(session, lambda: ask(session, now))
    assert f"ix_reading_{index}" in plan
    assert not re.search(r"SCAN reading|Seq Scan on reading", plan)


def plans(session: Session, ask: Callable[[], object]) -> str:
    """How the database finds the rows of the statements about readings, in its own words."""
    told: list[tuple[str, Any]] = []
    connection = session.connection()

    def heard(_c: object, _cursor: object, statement: str, values: Any, *_: object) -> None:
        if "reading" in statement:
            told.append((statement, values))

    event.listen(connection, "before_cursor_execute", heard)
    ask()
    event.remove(connection, "before_cursor_execute", heard)
    assert told
    if connection.dialect.name == "postgresql":  # which reads a small table whole, if it may
        connection.execute(text("SET LOCAL enable_seqscan = off"))
        how = "EXPLAIN "
    else:
        how = "EXPLAIN QUERY PLAN "
    return "\n".join(
        str(row) for one, values in told for row in connection.exec_driver_sql(how + one, values)
    )
