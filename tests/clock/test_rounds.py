"""The clock's rounds: what is due is done, a failure is written down, the rest goes on."""

import threading
from dataclasses import replace
from datetime import datetime, timedelta
from typing import NoReturn

import pytest
from sqlmodel import col, select

from models import results
from models.errors import InputError
from models.planning import timeline
from models.records import Job, Projection, Reminder, WeatherRun
from models.simulation.scenario import Scenario
from scheduler.clock import Clock
from scheduler.jobs import Rounds
from service.actions.pours.log_pour import log_pour
from service.actions.shop import jobs
from service.actions.windows.project_pour import project_pour
from service.nouns.pour import PourCreate
from service.queries.jobs import job_of
from service.settings import Settings
from service.store import Store
from tests.support.shop import Bench, Mailbox, Sky, Windows

HOUR = timedelta(hours=1)


def job(store: Store, key: str) -> Job:
    with store.reading() as session:
        found = job_of(session, key)
    assert found is not None
    return found


@pytest.mark.usefixtures("pour_id")
def test_a_forecast_is_fetched_hourly__and_its_pours_are_projected(
    store: Store, rounds: Rounds, sky: Sky, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    assert rounds.refresh(now) == 1
    assert rounds.refresh(now + timedelta(minutes=59)) == 0
    assert rounds.project(now) == 1
    assert rounds.project(now + timedelta(minutes=5)) == 0
    assert rounds.refresh(now + HOUR) == 1
    assert rounds.project(now + HOUR) == 1
    assert sky.asked == [(44.0, -92.0)] * 2
    with store.reading() as session:
        assert len(session.exec(select(WeatherRun)).all()) == 2
        assert session.exec(select(Projection)).one().weather_run_id == 2


@pytest.mark.usefixtures("pour_id")
def test_a_pour_is_projected_when_an_hour_that_was_told_comes(
    rounds: Rounds, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + timedelta(minutes=20))
    assert rounds.project(now) == 1
    assert rounds.project(now + timedelta(minutes=19)) == 0
    assert rounds.project(now + timedelta(minutes=20)) == 1
    assert rounds.project(now + timedelta(minutes=79)) == 0
    assert rounds.project(now + timedelta(minutes=80)) == 1


def test_a_service_that_is_down_is_asked_again_later_and_its_reason_kept(
    store: Store, bench: Bench, rounds: Rounds, sky: Sky, now: datetime
) -> None:
    sky.down = "answered 503"
    rounds.refresh(now)
    row = job(store, jobs.weather_key(bench.place_id))
    assert row.failure == "a sky of the tests: answered 503"
    assert row.due_at == now + timedelta(minutes=15)  # the service said 900 s
    sky.down = ""
    assert rounds.refresh(now + timedelta(minutes=14)) == 0
    assert rounds.refresh(now + timedelta(minutes=15)) == 1
    row = job(store, jobs.weather_key(bench.place_id))
    assert (row.failure, row.attempt) == ("", 0)


def test_one_pour_that_fails_stops_no_other__and_says_why(
    store: Store,
    bench: Bench,
    pour_id: int,
    rounds: Rounds,
    windows: Windows,
    now: datetime,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with store.unit_of_work() as session:
        other = log_pour(
            session,
            now,
            PourCreate(
                mix_id=bench.mix_id,
                piece_id=bench.piece_id,
                place_id=bench.place_id,
                placed_at=now - 2 * HOUR,
            ),
        ).id
    windows.say("strip", "not yet", now + 15 * HOUR)

    def stumbles(scenario: Scenario, *rest: object) -> results.Projection:
        if scenario.placement.at == now - HOUR:
            raise InputError("piece", "x", "made to fail", "nothing")
        return windows(scenario, *rest)

    monkeypatch.setattr(timeline, "project", stumbles)
    assert rounds.project(now) == 2
    failed = job(store, jobs.projection_key(pour_id))
    assert "made to fail" in failed.failure
    assert failed.due_at > now
    assert failed.claimed_until is None
    with store.reading() as session:
        assert [row.pour_id for row in session.exec(select(Projection)).all()] == [other]


def test_pauses_after_failures_double_up_to_two_hours(now: datetime) -> None:
    row = Job(kind="beat", key="k", due_at=now, created_at=now)
    pauses = []
    for attempt in range(1, 10):
        row.attempt = attempt
        jobs.failed(row, now, "why")
        pauses.append((row.due_at - now) / timedelta(minutes=1))
    assert pauses == [2, 4, 8, 16, 32, 64, 120, 120, 120]


def test_a_clock_that_stood_for_three_hours_sends_what_is_still_true_and_no_more(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    morning = now + 15 * HOUR
    windows.say("strip", "not yet", morning)
    windows.say("knock-out", "not yet", morning, morning + 2 * HOUR)
    project_pour(store, now, pour_id)
    rounds.deliver(morning + 3 * HOUR)
    assert mailbox.notices == []  # an old projection is no ground to open a step
    rounds.project(morning + 3 * HOUR)
    rounds.deliver(morning + 3 * HOUR)
    assert [notice.key for notice in mailbox.notices] == [f"{pour_id}:strip:opens"]
    with store.reading() as session:
        late = session.exec(select(Reminder).where(Reminder.step == "knock-out")).all()
    assert {row.state for row in late} <= {"expired", "cancelled"}


def test_a_projection_that_fails_opens_nothing(
    store: Store,
    pour_id: int,
    windows: Windows,
    rounds: Rounds,
    mailbox: Mailbox,
    now: datetime,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    project_pour(store, now + 14 * HOUR, pour_id)

    def falls(*_: object) -> NoReturn:
        raise ZeroDivisionError

    monkeypatch.setattr(timeline, "project", falls)
    rounds.project(now + 15 * HOUR)
    rounds.deliver(now + 15 * HOUR)
    assert mailbox.notices == []
    assert job(store, jobs.projection_key(pour_id)).failure.startswith("ZeroDivisionError")


@pytest.mark.usefixtures("bench")
def test_the_beat_says_when_the_clock_last_went_round(
    store: Store, rounds: Rounds, now: datetime
) -> None:
    rounds.deliver(now)
    rounds.deliver(now + HOUR)
    assert job(store, jobs.BEAT).succeeded_at == now + HOUR


def test_somebody_writing_during_a_projection_makes_it_anew(
    store: Store, pour_id: int, windows: Windows, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[float | None] = []

    def watched(scenario: Scenario, *rest: object) -> results.Projection:
        seen.append(scenario.placement.concrete_C)
        if len(seen) == 1:
            with store.unit_of_work() as session:
                jobs.projection_due(session, now, pour_id)
        return windows(scenario, *rest)

    monkeypatch.setattr(timeline, "project", watched)
    windows.say("strip", "not yet", now + 15 * HOUR)
    project_pour(store, now, pour_id)
    assert len(seen) == 2
    assert job(store, jobs.projection_key(pour_id)).due_at == now + HOUR


@pytest.mark.usefixtures("bench")
def test_the_timer_calls_every_round_and_stops(
    settings: Settings, store: Store, sky: Sky, now: datetime
) -> None:
    called = {name: threading.Event() for name in ("deliver", "refresh", "project", "tidy")}

    class Watched(Rounds):
        def deliver(self, now: datetime) -> int:
            called["deliver"].set()
            return super().deliver(now)

        def refresh(self, now: datetime) -> int:
            called["refresh"].set()
            return super().refresh(now)

        def project(self, now: datetime) -> int:
            called["project"].set()
            return super().project(now)

        def tidy(self, now: datetime) -> int:
            called["tidy"].set()
            return super().tidy(now)

    clock = Clock(Watched(replace(settings, tick_s=1.0), store, sky), lambda: now)
    clock.start()
    assert all(event.wait(30) for event in called.values())
    clock.stop()
    with store.reading() as session:
        assert session.exec(select(Job).where(col(Job.key) == "beat")).one().due_at == now
