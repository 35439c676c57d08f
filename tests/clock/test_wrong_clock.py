"""A clock that was once 40 days ahead: what it left behind holds nothing up when it is right."""

import threading
from datetime import datetime, timedelta

import pytest
from sqlmodel import select
from starlette.testclient import TestClient

from models.records import Job, Mix, Place, Projection, Reading, Reminder
from scheduler import clock as timer
from scheduler.clock import Clock
from scheduler.jobs import Rounds
from service.actions.pours.record_reading import record_reading
from service.actions.shop import jobs
from service.actions.windows.project_pour import project_pour
from service.actions.windows.standing import state_now
from service.answers import EarliestResponse, NeedResponse, StepWindowResponse
from service.nouns.reading import ReadingCreate
from service.queries.jobs import job_of
from service.request_context import utc_now
from service.settings import Settings
from service.store import Store
from tests.support.shop import Bench, Mailbox, Sky, Windows
from tests.support.words import said

HOUR, AHEAD = timedelta(hours=1), timedelta(days=40)


def all_rounds(rounds: Rounds, at: datetime) -> None:
    for work in (rounds.deliver, rounds.refresh, rounds.project, rounds.tidy):
        work(at)


def due_jobs(store: Store) -> list[Job]:
    with store.reading() as session:
        return list(session.exec(select(Job)).all())


@pytest.mark.usefixtures("pour_id")
def test_after_one_start_forty_days_ahead_everything_is_due_at_once(
    client: TestClient, store: Store, rounds: Rounds, windows: Windows, sky: Sky, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    all_rounds(rounds, now + AHEAD)
    assert client.get("/readyz").json()["clock_beats"] is False
    asked = len(sky.asked)
    all_rounds(rounds, now)
    assert len(sky.asked) == asked + 1
    assert {job.succeeded_at for job in due_jobs(store)} == {now}
    assert max(job.due_at for job in due_jobs(store)) <= now + timedelta(days=1)
    with store.reading() as session:
        newest = session.exec(select(Projection).order_by(Projection.id.desc())).first()  # type: ignore[attr-defined]
    assert newest is not None
    assert newest.checked_at == now
    assert client.get("/readyz").status_code == 200
    all_rounds(rounds, now + timedelta(minutes=1))
    assert len(sky.asked) == asked + 1  # and no more often than ever


@pytest.mark.usefixtures("bench")
def test_a_failure_of_the_future_is_tried_again_at_once(
    rounds: Rounds, sky: Sky, now: datetime
) -> None:
    sky.down = "answered 503"
    rounds.refresh(now + AHEAD)
    sky.down = ""
    assert rounds.refresh(now) == 1


@pytest.mark.parametrize("ahead", [timedelta(hours=3), AHEAD])
def test_a_due_time_further_off_than_its_interval_is_due(
    store: Store, bench: Bench, rounds: Rounds, now: datetime, ahead: timedelta
) -> None:
    with store.unit_of_work() as session:
        job = job_of(session, jobs.weather_key(bench.place_id))
        assert job is not None
        job.due_at = now + ahead
        session.add(job)
    assert rounds.refresh(now) == 1


def test_a_lease_of_the_future_ends(
    store: Store, pour_id: int, rounds: Rounds, windows: Windows, mailbox: Mailbox, now: datetime
) -> None:
    windows.say("strip", "not yet", now + HOUR)
    rounds.project(now)
    with store.unit_of_work() as session:
        for row in (*session.exec(select(Job)), *session.exec(select(Reminder))):
            row.claimed_until = now + AHEAD
            session.add(row)
    later = now + HOUR + timedelta(minutes=1)
    assert rounds.refresh(later) == 1
    assert rounds.project(later) == 1
    rounds.deliver(later)
    assert [notice.key for notice in mailbox.notices] == [f"{pour_id}:strip:opens"]


def test_a_notice_that_expired_by_a_clock_that_was_ahead_is_told_when_its_hour_comes(
    store: Store, pour_id: int, rounds: Rounds, windows: Windows, mailbox: Mailbox, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 2 * HOUR)
    project_pour(store, now, pour_id)
    rounds.deliver(now + AHEAD)
    with store.reading() as session:
        assert session.exec(select(Reminder)).one().state == "expired"
    windows.say("strip", "open", now + 2 * HOUR)
    rounds.project(now + 3 * HOUR)
    rounds.deliver(now + 3 * HOUR)
    assert [notice.key for notice in mailbox.notices] == [f"{pour_id}:strip:opens"]


def test_an_answer_of_the_future_opens_nothing(now: datetime) -> None:
    told = StepWindowResponse(
        step="strip",
        state="open",
        earliest=EarliestResponse(p50=now, p90=now, safe=now),
        latest=None,
        need=NeedResponse(quantity="strength", value=5.0, unit="MPa"),
        because="4.2 MPa of 5.0",
        earlier_if=[],
        cautions=[],
        sources=[],
        missed="",
        done_at=None,
        confidence=None,
    )
    assert state_now(told, now, now)[0] == "open"
    state, because = state_now(told, now, now + AHEAD)
    assert (state, because) == (
        "blocked",
        f"{said('stale_ahead')} 4.2 MPa of 5.0",
    )


@pytest.mark.usefixtures("windows")
def test_what_was_learned_in_the_future_does_not_keep_readings_from_teaching(
    store: Store, pour_id: int, now: datetime
) -> None:
    with store.unit_of_work() as session:
        place, mix = session.exec(select(Place)).one(), session.exec(select(Mix)).one()
        for row in (place, mix):
            row.learned_at = now + AHEAD
            row.learned_from_count = 1
            session.add(row)
        record_reading(session, now, pour_id, ReadingCreate(kind="air", value_C=9.0, at=now))
    project_pour(store, now, pour_id)
    with store.reading() as session:
        assert session.exec(select(Place)).one().learned_at == now
        assert len(session.exec(select(Reading)).all()) == 1


def test_rounds_go_on_when_the_machines_clock_is_set_back(
    settings: Settings, store: Store, sky: Sky, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The timer then waits for an instant 40 days off."""
    monkeypatch.setattr(timer, "CLOCK_CHECK_INTERVAL_S", 0.05)
    came = threading.Event()

    class Watched(Rounds):
        def tidy(self, _now: datetime) -> int:
            came.set()
            return 0

    clock = Clock(Watched(settings, store, sky))
    clock.start()
    assert came.wait(60)
    came.clear()
    clock._timer.get_job("tidy").modify(next_run_time=utc_now() + AHEAD)
    again = came.wait(60)
    clock.stop()
    assert again
