"""Instants in rows: a time without offset is refused, and UTC comes back."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from sqlalchemy.exc import IntegrityError, StatementError
from sqlmodel import func, select

from models.records import Mix, Place, Pour, Reminder, Shop
from service.store import Store
from tests.support.shop import Bench

CHICAGO_SUMMER = timezone(timedelta(hours=-5))


def mix(**changes: object) -> Mix:
    values: dict[str, Any] = {
        "created_at": datetime(2026, 10, 14, tzinfo=UTC),
        "name": "bag",
        "kind": "any",
    }
    return Mix(**{**values, **changes})


def test_a_time_without_offset_is_refused(any_store: Store) -> None:
    with (
        pytest.raises(StatementError, match="timezone"),
        any_store.unit_of_work() as session,
    ):
        session.add(mix(created_at=datetime(2026, 10, 14, 18, 0)))  # noqa: DTZ001
    with any_store.reading() as session:
        assert session.exec(select(Mix)).all() == []


def test_a_time_comes_back_in_utc__also_from_a_maximum(any_store: Store) -> None:
    at = datetime(2026, 10, 14, 18, 0, tzinfo=CHICAGO_SUMMER)
    with any_store.unit_of_work() as session:
        session.add(mix(created_at=at))
    with any_store.reading() as session:
        back = session.exec(select(Mix)).one().created_at
        newest = session.exec(select(func.max(Mix.created_at))).one()
    assert back.isoformat() == newest.isoformat() == "2026-10-14T23:00:00+00:00"


@pytest.mark.parametrize(
    "row",
    [
        mix(water_cement=1.4),
        mix(initial_set_h=5.0, final_set_h=4.0),
        Place(created_at=datetime(2026, 1, 1, tzinfo=UTC), name="p", kind="covered", latitude=44.0),
        Place(created_at=datetime(2026, 1, 1, tzinfo=UTC), name="p", kind="heated room"),
        Shop(id=1, created_at=datetime(2026, 1, 1, tzinfo=UTC), feed_token="t", confidence=0.5),
    ],
    ids=["water", "set order", "one coordinate", "heated, no setpoint", "unsure"],
)
def test_a_row_that_cannot_be_is_refused_by_the_database(any_store: Store, row: object) -> None:
    with pytest.raises(IntegrityError), any_store.unit_of_work() as session:
        session.add(row)


def test_a_pour_of_nothing_is_refused(any_store: Store) -> None:
    at = datetime(2026, 1, 1, tzinfo=UTC)
    with pytest.raises(IntegrityError), any_store.unit_of_work() as session:
        session.add(Pour(created_at=at, placed_at=at, mix_id=7, piece_id=7, place_id=7))


def test_a_reminder_ends_after_it_is_due(
    any_store: Store, now: datetime, furnished: Callable[[Store, datetime], Bench]
) -> None:
    bench = furnished(any_store, now)
    with any_store.unit_of_work() as session:
        pour = Pour(
            created_at=now,
            placed_at=now,
            mix_id=bench.mix_id,
            piece_id=bench.piece_id,
            place_id=bench.place_id,
        )
        session.add(pour)
        session.flush()
        pour_id = pour.id
    with pytest.raises(IntegrityError), any_store.unit_of_work() as session:
        session.add(
            Reminder(
                created_at=now,
                changed_at=now,
                pour_id=pour_id,
                step="strip",
                kind="opens",
                key="k",
                window_at=now,
                due_at=now,
                not_after=now - timedelta(seconds=1),
                facts={},
            )
        )
