"""Two clocks and a sink that takes its time: nobody is told twice while both live."""

import sqlite3
import threading
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from sqlmodel import Session, select

from models.records import Reminder
from scheduler import due, held
from scheduler.held import Held
from scheduler.jobs import Rounds
from service.actions.windows.project_pour import project_pour
from service.notify.channel import Channel, Notice
from service.settings import Settings
from service.store import Store
from service.store.shops import within
from tests.support.shop import Mailbox, Sky, Windows

LEASE = timedelta(seconds=120)
PATIENCE_S = 60


@pytest.fixture
def due_at(store: Store, pour_id: int, windows: Windows, now: datetime) -> datetime:
    """The one notice of the shop is owed then."""
    at = now + timedelta(hours=15)
    windows.say("strip", "not yet", at)
    project_pour(store, now, pour_id)
    project_pour(store, at, pour_id)
    return at


def claimed_until(store: Store) -> datetime | None:
    with store.reading() as session:
        return session.exec(select(Reminder)).one().claimed_until


class Slow:
    """Takes a notice and holds the sender until `seen` says that it may go on."""

    name = "slow"

    def __init__(self, seen: Callable[[], bool]) -> None:
        self.got: list[str] = []
        self._seen = seen

    def send(self, notice: Notice) -> None:
        self.got.append(notice.key)
        until = time.monotonic() + PATIENCE_S
        while not self._seen() and time.monotonic() < until:
            threading.Event().wait(0.02)


def test_a_rival_finds_nothing_while_a_slow_sink_takes_longer_than_a_lease(
    settings: Settings, store: Store, sky: Sky, due_at: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(held, "RENEWALS", 100)
    ends: list[datetime] = []
    asked = threading.Event()

    def renewed() -> bool:
        until = claimed_until(store)
        assert until is not None
        ends.append(until)
        return asked.is_set()

    slow = Slow(renewed)
    short = replace(settings, lease_s=10.0)
    one, rival = (Rounds(short, store, sky, lambda _: [slow]) for _ in range(2))
    sending = threading.Thread(target=one.deliver, args=(due_at,))
    sending.start()
    try:
        until = time.monotonic() + PATIENCE_S
        while not (ends and ends[-1] > ends[0]) and time.monotonic() < until:
            threading.Event().wait(0.02)
        after_the_first = ends[0] + timedelta(microseconds=1)
        assert rival.deliver(after_the_first) == 0
    finally:
        asked.set()
        sending.join()
    assert len(slow.got) == 1
    with store.reading() as session:
        row = session.exec(select(Reminder)).one()
        assert (row.state, row.claimed_until) == ("sent", None)


def test_the_lease_of_another_shop_on_the_server_is_renewed_too(
    store: Store, due_at: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(held, "RENEWALS", 1000)
    with closing(sqlite3.connect(str(store.engine.url.database))) as rows:  # its keys are off
        rows.execute("UPDATE reminder SET shop_id = 2")
        rows.commit()
    with within(2):
        ours = Held(store, due_at, LEASE)
        ours.claim([1])
        first = until = claimed_until(store)
        assert first is not None
        give_up = time.monotonic() + PATIENCE_S
        with ours:
            while until == first and time.monotonic() < give_up:
                threading.Event().wait(0.02)
                until = claimed_until(store)
        assert ours.keys == [1]
    assert until is not None
    assert until > first


def test_a_group_is_renewed_once_for_a_send_and_not_for_each_notice_that_is_settled(
    rounds: Rounds, store: Store, due_at: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    renewed: list[int] = []
    really = due.renew_reminder

    def renew(session: Session, key: int, before: datetime, until: datetime) -> bool:
        renewed.append(key)
        return really(session, key, before, until)

    monkeypatch.setattr(due, "renew_reminder", renew)
    with store.unit_of_work() as session:
        row = session.exec(select(Reminder)).one()
        for k in range(4):
            more = row.model_dump(exclude={"id"}) | {"key": f"more {k}", "step": f"coat-{k}"}
            session.add(Reminder(**more))
    assert rounds.deliver(due_at) == 5
    assert sorted(renewed) == [1, 2, 3, 4, 5]


def test_a_lease_counts_from_its_claim_and_not_from_the_begin_of_the_round(
    store: Store, due_at: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    ours, late = Held(store, due_at, LEASE), time.monotonic() + 100
    monkeypatch.setattr(time, "monotonic", lambda: late)
    ours.claim([1])
    until = claimed_until(store)
    assert until is not None
    assert until >= due_at + timedelta(seconds=99) + LEASE


@pytest.mark.parametrize("others", [0, 1])
def test_who_was_frozen_for_longer_than_a_lease_sends_nothing_and_frees_nothing(
    settings: Settings, store: Store, sky: Sky, due_at: datetime, others: int
) -> None:
    """A suspended machine: meanwhile another clock has claimed the notice, and holds it."""
    rivals_until = due_at + 2 * LEASE + timedelta(seconds=1)
    second = Mailbox("second")

    class Frozen:
        name = "first"

        def send(self, _notice: Notice) -> None:
            with store.unit_of_work() as session:
                assert due.claim_reminder(session, 1, rivals_until - LEASE, LEASE)

    ways: list[Channel] = [Frozen()]
    ways += [second] * others
    Rounds(settings, store, sky, lambda _: ways).deliver(due_at)
    assert second.notices == []
    assert claimed_until(store) == rivals_until
