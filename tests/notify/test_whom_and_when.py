"""What a shop wants to be told, and when: kinds, lead, quiet hours; one notice for one thing."""

from datetime import datetime, timedelta

import pytest

from models.records import Delivery, Reminder
from scheduler.jobs import Rounds
from service.actions.notices.calendar_feed import show_plan
from service.actions.pours.log_pour import log_pour
from service.actions.shop.set_up_shop import change_shop
from service.actions.windows.project_pour import project_pour
from service.nouns.pour import PourCreate
from service.queries.rows import find_shop
from service.store import Store
from tests.support.rows import rows
from tests.support.shop import Bench, Mailbox, Windows

HOUR = timedelta(hours=1)
MINUTE = timedelta(minutes=1)
SECOND = timedelta(seconds=1)


def wish(store: Store, now: datetime, **values: object) -> None:
    with store.unit_of_work() as session:
        change_shop(session, now, values)


def test_a_kind_nobody_wants_stands_in_the_calendar_alone(
    store: Store, rounds: Rounds, mailbox: Mailbox, pour_id: int, windows: Windows, now: datetime
) -> None:
    wish(store, now, notice_kinds=["frost"])
    at = now + 15 * HOUR
    windows.say("strip", "not yet", at)
    for when in (now, at - HOUR / 2, at + MINUTE):
        project_pour(store, when, pour_id)
        rounds.deliver(when)
    assert mailbox.notices == []
    (row,) = rows(store, Reminder)
    changes = row.changes
    project_pour(store, at + 2 * MINUTE, pour_id)
    assert rows(store, Reminder)[0].state == "listed"
    assert rows(store, Reminder)[0].changes == changes
    with store.reading() as session:
        assert b"STATUS:CONFIRMED" in show_plan(session, at, find_shop(session).feed_token, "")


@pytest.mark.parametrize("kind", ["fumes", "correction"])
def test_what_may_kill_and_what_takes_back_is_told_in_any_case(
    store: Store,
    rounds: Rounds,
    mailbox: Mailbox,
    pour_id: int,
    windows: Windows,
    now: datetime,
    kind: str,
) -> None:
    if kind == "fumes":
        wish(store, now, notice_kinds=[], frost_wakes=False)
        windows.warn("fumes", now + 9 * HOUR, now + HOUR)
        project_pour(store, now, pour_id)
        rounds.deliver(now)
        assert len(mailbox.notices) == 1
        return
    windows.warn("frost", now + 9 * HOUR, now + HOUR)
    project_pour(store, now, pour_id)
    rounds.deliver(now)
    wish(store, now, notice_kinds=[])
    windows.clear()
    project_pour(store, now + HOUR, pour_id)
    rounds.deliver(now + HOUR)
    assert len(mailbox.notices) == 2


def test_a_window_told_ahead_says_from_when_and_never_reads_as_open(
    store: Store, rounds: Rounds, mailbox: Mailbox, pour_id: int, windows: Windows, now: datetime
) -> None:
    wish(store, now, notice_lead_min=30)
    at = now + 16 * HOUR  # 10:00 there
    windows.say("strip", "not yet", at)
    for when in (now, at - HOUR):
        project_pour(store, when, pour_id)
    rounds.deliver(at - 31 * MINUTE)
    assert mailbox.notices == []
    rounds.deliver(at - 29 * MINUTE)
    (told,) = mailbox.notices
    assert told.title.endswith("from 10:00 am")


@pytest.mark.parametrize("wakes", [True, False])
def test_frost_breaks_the_quiet_hours_only_where_it_may(
    store: Store,
    rounds: Rounds,
    mailbox: Mailbox,
    pour_id: int,
    windows: Windows,
    now: datetime,
    wakes: bool,
) -> None:
    wish(store, now, frost_wakes=wakes)
    night = now + 6 * HOUR  # midnight there
    windows.warn("frost", night + 5 * HOUR, night + 2 * HOUR)
    project_pour(store, night, pour_id)
    rounds.deliver(night)
    assert len(mailbox.notices) == int(wakes)
    rounds.deliver(night + 7 * HOUR + 12 * SECOND)  # the first round after work begins at 7:00
    assert len(mailbox.notices) == 1


def test_that_a_short_window_opens_and_closes_is_one_notice(
    store: Store, rounds: Rounds, mailbox: Mailbox, pour_id: int, windows: Windows, now: datetime
) -> None:
    at = now + 16 * HOUR
    windows.say("strip", "not yet", at, at + 8 * MINUTE)
    for when in (now, at - HOUR / 2):
        project_pour(store, when, pour_id)
    for k in range(9):
        rounds.deliver(at + k * MINUTE)
    (told,) = mailbox.notices
    assert "before" in told.title
    assert {row.state for row in rows(store, Reminder)} == {"sent"}


def test_a_window_that_closes_when_work_begins_is_told_the_evening_before(
    store: Store, rounds: Rounds, mailbox: Mailbox, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 7 * HOUR, now + 13 * HOUR)  # 1:00 to 7:00
    for hours in (0, 3.75):  # a quarter of an hour before the quiet hours
        project_pour(store, now + 3.5 * HOUR * (hours > 0), pour_id)
        rounds.deliver(now + hours * HOUR)
    assert len(mailbox.notices) == 1
    rounds.deliver(now + 13 * HOUR + 12 * SECOND)
    assert len(mailbox.notices) == 1


def test_a_long_window_is_told_when_it_opens_and_before_it_closes(
    store: Store, rounds: Rounds, mailbox: Mailbox, pour_id: int, windows: Windows, now: datetime
) -> None:
    at = now + 16 * HOUR
    windows.say("strip", "not yet", at, at + 4 * HOUR)
    for when in (now, at - HOUR / 2, at + 3 * HOUR - MINUTE):
        project_pour(store, when, pour_id)
        rounds.deliver(when + HOUR / 2 + MINUTE)
    assert len(mailbox.notices) == 2


@pytest.mark.parametrize(("hours_ago", "told"), [(20.0, 1), (0.2, 0)])
def test_a_pour_logged_late_says_what_is_open_now_once(
    store: Store,
    bench: Bench,
    rounds: Rounds,
    mailbox: Mailbox,
    windows: Windows,
    now: datetime,
    hours_ago: float,
    told: int,
) -> None:
    """One logged at its mixer needs no word: whoever logs it stands beside it."""
    placed = now - hours_ago * HOUR
    body = PourCreate(
        mix_id=bench.mix_id, piece_id=bench.piece_id, place_id=bench.place_id, placed_at=placed
    )
    with store.unit_of_work() as session:
        pour_id = log_pour(session, now, body).id
    windows.say("strip", "open", now - 3 * HOUR)
    windows.say("uncover", "open", now - 2 * HOUR)
    windows.say("turn", "open", now - 2 * HOUR, after="strip")
    for when in (now, now + HOUR, now + 2 * HOUR):
        project_pour(store, when, pour_id)
        rounds.deliver(when)
    assert len(mailbox.notices) == told


def test_what_falls_due_together_is_one_notice_and_each_thing_stands_in_it(
    store: Store, bench: Bench, rounds: Rounds, mailbox: Mailbox, windows: Windows, now: datetime
) -> None:
    """Five benches under one sky are one night of frost."""
    body = PourCreate(
        mix_id=bench.mix_id, piece_id=bench.piece_id, place_id=bench.place_id, placed_at=now
    )
    windows.warn("frost", now + 9 * HOUR, now + 2 * HOUR)
    with store.unit_of_work() as session:
        pours = [log_pour(session, now, body).id for _ in range(3)]
    for pour_id in pours:
        project_pour(store, now, pour_id)
    rounds.deliver(now)
    (told,) = mailbox.notices
    assert told.severity == "alarm"
    assert told.path == "/"
    assert told.title.endswith("2 more")
    assert all(f"North bench #{k}" in told.body for k in (1, 2, 3))
    assert {row.state for row in rows(store, Reminder)} == {"sent"}
    assert len(rows(store, Delivery)) == 3


def test_an_alarm_goes_by_itself_beside_what_has_time(
    store: Store, rounds: Rounds, mailbox: Mailbox, pour_id: int, windows: Windows, now: datetime
) -> None:
    at = now + 16 * HOUR
    windows.say("strip", "not yet", at)
    project_pour(store, now, pour_id)
    project_pour(store, at - HOUR / 2, pour_id)
    windows.warn("frost", at + 9 * HOUR, at + 2 * HOUR)
    project_pour(store, at, pour_id)
    rounds.deliver(at)
    assert sorted(one.severity for one in mailbox.notices) == ["alarm", "news"]
