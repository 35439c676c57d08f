"""Many pours in one round: claimed by the batch, on all cores, none lost and none done twice."""

import multiprocessing
import os
import threading
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

import pytest
from sqlmodel import col, select, update

from models import results
from models.planning import timeline
from models.records import Job, Pour, Projection
from models.simulation.scenario import Scenario
from scheduler import due
from scheduler.clock import Clock
from scheduler.cores import AT_A_TIME, BATCH, Cores, in_batches
from scheduler.jobs import Rounds
from service.actions.notices import reminders
from service.actions.pours.log_pour import log_pour
from service.actions.shop import jobs
from service.nouns.pour import PourCreate
from service.settings import Settings
from service.store import Store
from tests.support.shop import Bench, Sky, Windows

HOUR = timedelta(hours=1)
LEASE = timedelta(minutes=5)
SAMPLE = 20


def logged(store: Store, bench: Bench, now: datetime, count: int) -> list[int]:
    """Pours under way, each due, at a place without weather."""
    wanted = PourCreate(
        mix_id=bench.mix_id,
        piece_id=bench.piece_id,
        place_id=bench.place_id,
        placed_at=now - HOUR,
    )
    with store.unit_of_work() as session:
        return [log_pour(session, now, wanted).id for _ in range(count)]


@pytest.fixture
def pours(store: Store, bench: Bench, now: datetime) -> list[int]:
    return logged(store, bench, now, SAMPLE)


def succeeded(store: Store) -> set[int | None]:
    with store.reading() as session:
        done = col(Job.succeeded_at).is_not(None)
        return set(session.exec(select(Job.pour_id).where(Job.kind == "projection", done)))


def test_each_claim_of_a_batch_gets_others_until_its_lease_ends(
    any_store: Store, furnished: Callable[[Store, datetime], Bench], now: datetime
) -> None:
    logged(any_store, furnished(any_store, now), now, 5)

    def claimed(at: datetime) -> set[int]:
        with any_store.unit_of_work() as session:
            found = due.claim_pours(session, at, LEASE, HOUR, 3)
            return {key for pours in found.values() for key in pours}

    first, second = claimed(now), claimed(now)
    assert (len(first), len(second)) == (3, 2)
    assert not first & second
    assert claimed(now + timedelta(minutes=4)) == set()
    assert len(claimed(now + timedelta(minutes=6))) == 3


def test_what_is_asked_while_a_batch_is_worked_out_is_in_the_answer(
    store: Store,
    pours: list[int],
    windows: Windows,
    now: datetime,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen: list[float | None] = []

    def watched(scenario: Scenario, *rest: object) -> results.Projection:
        if not seen:
            with store.unit_of_work() as session:
                session.execute(
                    update(Pour).where(col(Pour.id) == pours[0]).values(concrete_C=21.0)
                )
                jobs.projection_due(session, now, pours[0])
        seen.append(scenario.placement.concrete_C)
        return windows(scenario, *rest)

    windows.say("strip", "not yet", now + 15 * HOUR)
    monkeypatch.setattr(timeline, "project", watched)
    assert in_batches(store, HOUR, lambda: now, at_most=BATCH) == BATCH
    assert len(seen) == BATCH + 1
    assert seen[-1] == 21.0
    with store.reading() as session:
        row = session.exec(select(Projection).where(Projection.pour_id == pours[0])).one()
    assert 21.0 in row.inputs["pour"]


def test_a_batch_that_cannot_be_kept_is_kept_pour_by_pour(
    store: Store,
    pours: list[int],
    windows: Windows,
    now: datetime,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    plan = reminders.plan

    def stumbles(session: object, at: datetime, pour: Pour, *rest: object) -> bool:
        if pour.id == pours[2]:
            raise ZeroDivisionError
        return plan(session, at, pour, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(reminders, "plan", stumbles)
    assert in_batches(store, HOUR, lambda: now) == SAMPLE
    assert succeeded(store) == set(pours) - {pours[2]}
    with store.reading() as session:
        failed = session.exec(select(Job).where(Job.pour_id == pours[2])).one()
    assert failed.failure.startswith("ZeroDivisionError")
    assert failed.due_at > now


@pytest.fixture
def cores(settings: Settings, pours: list[int]) -> Iterator[Cores]:
    del pours
    made = Cores(Settings(data=settings.data, cores=2))
    yield made
    made.stop()


def test_processes_project_all_that_are_due_and_end_when_they_are_stopped(
    store: Store, pours: list[int], cores: Cores, now: datetime
) -> None:
    assert cores.project(now) == SAMPLE
    assert succeeded(store) == set(pours)
    with store.reading() as session:
        told = session.exec(select(Projection.pour_id)).all()
    assert sorted(told) == sorted(pours)
    children = multiprocessing.active_children()
    assert children
    cores.stop()
    for child in children:
        child.join(30)
    assert not multiprocessing.active_children()
    assert not cores.usable


def test_when_a_process_dies_the_clock_goes_on_in_its_own(
    settings: Settings,
    store: Store,
    sky: Sky,
    windows: Windows,
    pours: list[int],
    cores: Cores,
    now: datetime,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("scheduler.jobs.AT_A_TIME", SAMPLE)
    monkeypatch.setattr("scheduler.cores._project", _dies)
    windows.say("strip", "not yet", now + 15 * HOUR)
    rounds = Rounds(settings, store, sky, cores=cores)
    assert rounds.project(now) == 0
    assert rounds.project(now) == SAMPLE
    assert succeeded(store) == set(pours)


def _dies(*_: object) -> int:
    os._exit(1)


@pytest.mark.usefixtures("bench")
def test_a_full_round_is_followed_by_the_next_at_once(
    settings: Settings, store: Store, sky: Sky, now: datetime
) -> None:
    left, third = [AT_A_TIME, AT_A_TIME, 3], threading.Event()

    class Watched(Rounds):
        def project(self, now: datetime) -> int:
            count = left.pop(0) if left else 0
            if not left:
                third.set()
            return count

    clock = Clock(Watched(settings, store, sky), lambda: now)
    clock.start()
    assert third.wait(25)  # three turns of the timer would take a minute
    clock.stop()
