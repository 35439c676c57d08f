"""Delivery: retried, refused, listed; and every attempt is a row."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from sqlmodel import select

from models.errors import DeliveryFailed
from models.records import Delivery, Reminder
from scheduler.jobs import Rounds
from service.actions.project_pour import project_pour
from service.actions.set_up_shop import change_shop
from service.store import Store

HOUR = timedelta(hours=1)


@pytest.fixture
def due_at(store: Store, pour_id: int, windows: Any, now: datetime) -> datetime:
    at = now + 15 * HOUR
    windows.say("strip", "not yet", at)
    project_pour(store, now, pour_id)
    project_pour(store, at - HOUR / 2, pour_id)
    return at


def told(store: Store) -> tuple[str, list[str]]:
    with store.reading() as session:
        rows = session.exec(select(Delivery)).all()
        return session.exec(select(Reminder)).one().state, [row.outcome for row in rows]


def test_a_failed_send_is_tried_again_after_a_pause(
    store: Store, rounds: Rounds, mailbox: Any, due_at: datetime
) -> None:
    mailbox.refuse = DeliveryFailed("mailbox", "no answer", permanent=False)
    rounds.deliver(due_at)
    assert told(store) == ("waiting", ["failed"])
    mailbox.refuse = None
    rounds.deliver(due_at + timedelta(seconds=59))
    assert mailbox.notices == []
    rounds.deliver(due_at + timedelta(seconds=61))
    assert told(store) == ("sent", ["failed", "sent"])


def test_a_channel_that_refuses_for_good_is_not_asked_again(
    store: Store, rounds: Rounds, mailbox: Any, due_at: datetime
) -> None:
    mailbox.refuse = DeliveryFailed("mailbox", "no such mailbox", permanent=True)
    rounds.deliver(due_at)
    rounds.deliver(due_at + HOUR)
    assert told(store) == ("failed", ["refused"])


def test_of_two_channels_only_the_one_that_failed_is_tried_again(
    settings: Any, store: Store, sky: Any, mailbox: Any, due_at: datetime
) -> None:
    class Second:
        name = "second"
        down = True
        got: list[str] = []

        def send(self, notice: Any) -> None:
            if self.down:
                raise DeliveryFailed(self.name, "down", permanent=False)
            self.got.append(notice.key)

    second = Second()
    rounds = Rounds(settings, store, sky, lambda _: [mailbox, second])
    rounds.deliver(due_at)
    second.down = False
    rounds.deliver(due_at + timedelta(minutes=2))
    assert len(mailbox.notices) == len(second.got) == 1
    assert told(store)[0] == "sent"


def test_a_channel_with_a_fault_leaves_the_notice_for_the_next_lease(
    settings: Any, store: Store, sky: Any, mailbox: Any, due_at: datetime
) -> None:
    class Broken:
        name = "mailbox"

        def send(self, notice: Any) -> None:
            raise ZeroDivisionError

    Rounds(settings, store, sky, lambda _: [Broken()]).deliver(due_at)
    assert told(store) == ("waiting", ["started"])
    Rounds(settings, store, sky, lambda _: [mailbox]).deliver(due_at + timedelta(seconds=121))
    assert told(store) == ("sent", ["started", "sent"])


def test_without_an_address_the_notice_stays_on_the_calendar(
    store: Store, rounds: Rounds, now: datetime, due_at: datetime
) -> None:
    with store.unit_of_work() as session:
        change_shop(session, now, {"notice_addresses": []})
    rounds.deliver(due_at)
    assert told(store) == ("listed", [])
