"""A database server that restarts: asked again in growing pauses, and told of in few lines."""

import logging
import threading
import time
from collections.abc import Callable
from datetime import datetime
from typing import NoReturn

import pytest
from sqlalchemy import create_engine, text
from sqlmodel import select

from models.records import Job
from scheduler import clock, outage
from scheduler.jobs import Rounds
from scheduler.outage import Outage
from service.store import OtherSchema, Store

PATIENCE_S = 60.0


def restart(store: Store) -> None:
    """Every connection that is open breaks, as by a restart of the server; SQLite has none."""
    if store.engine.dialect.name == "sqlite":
        return
    other = create_engine(store.engine.url)
    with other.connect() as connection:
        connection.execute(
            text(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                " WHERE datname = current_database() AND pid <> pg_backend_pid()"
            )
        )
    other.dispose()


def test_after_a_restart_of_the_server_the_first_write_is_taken(
    any_store: Store, now: datetime
) -> None:
    for key in ("before", "after"):
        with any_store.unit_of_work() as session:
            session.add(Job(kind="beat", key=key, due_at=now, created_at=now))
        restart(any_store)
    with any_store.reading() as session:
        assert {job.key for job in session.exec(select(Job))} == {"before", "after"}


def test_an_hour_without_a_database_is_asked_in_pauses_and_told_in_a_dozen_lines(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """Rounds that come every two seconds, as those of the plan."""
    here, tries = time.monotonic(), 0
    monkeypatch.setattr(time, "monotonic", lambda: here)
    away = Outage()

    def falls() -> NoReturn:
        nonlocal tries
        tries += 1
        raise OtherSchema

    with caplog.at_level(logging.INFO):
        for _ in range(1800):
            away.call(falls)
            here += 2.0
        assert tries <= 3600 / outage.LONGEST_PAUSE.total_seconds() + 6
        assert 2 <= len(caplog.records) <= 13
        assert not any(record.exc_info for record in caplog.records)
        caplog.clear()
        here += 60.0
        assert [away.call(lambda: 7) for _ in range(3)] == [7, 7, 7]
    assert len(caplog.records) == 1


def test_rounds_of_the_clock_pause_together(
    rounds: Rounds, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """The timer that calls them every few seconds would write each failure down, with its trace."""
    tried: list[str] = []

    def falls(work: Callable[[datetime], int], _now: datetime) -> NoReturn:
        tried.append(work.__name__)
        raise OtherSchema

    monkeypatch.setattr(clock, "_counted", falls)
    began = clock.Clock(rounds)
    with caplog.at_level(logging.INFO):
        began.start()
        until = time.monotonic() + PATIENCE_S
        while not tried and time.monotonic() < until:
            threading.Event().wait(0.02)
        began.stop()
    assert tried
    assert not any(record.exc_info for record in caplog.records)


def test_a_fault_of_a_round_is_no_outage() -> None:
    with pytest.raises(ZeroDivisionError):
        Outage().call(lambda: 1 // 0)
