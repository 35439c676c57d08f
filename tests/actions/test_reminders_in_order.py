"""Notices keep the order of the steps, and the hand's windows are told without a sure hour."""

from datetime import datetime, timedelta

from sqlmodel import col, select

from models.records import Reminder
from scheduler.jobs import Rounds
from service.actions.windows.project_pour import project_pour
from service.store import Store
from tests.support.shop import Mailbox, Windows
from tests.support.words import tells

HOUR = timedelta(hours=1)


def owed(store: Store, kind: str, step: str) -> list[Reminder]:
    with store.reading() as session:
        rows = select(Reminder).where(Reminder.kind == kind, Reminder.step == step)
        return list(session.exec(rows.order_by(col(Reminder.round))).all())


def tick(rounds: Rounds, at: datetime) -> None:
    rounds.project(at)
    rounds.deliver(at)


def test_a_window_without_a_sure_hour_is_told_at_even_odds_where_the_hand_decides(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    sure, ends = now + HOUR, now + 1.6 * HOUR
    windows.say("cover", "not yet", None, ends, p50=sure, by_check=True)
    project_pour(store, now, pour_id)
    (opens,), (closes,) = owed(store, "opens", "cover"), owed(store, "closes", "cover")
    assert opens.window_at == now + HOUR
    assert closes.window_at == now + 1.6 * HOUR
    windows.say("cover", "closing", None, ends, p50=sure, by_check=True)
    tick(rounds, now + HOUR)
    assert tells(mailbox.notices[0].body, "even_odds_closes")
    assert "7:00 pm" in mailbox.notices[0].body  # the shop's zone is American


def test_no_notice_goes_out_for_a_step_whose_predecessor_is_not_done(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    """P11: hours slid with the clock, and steps were offered out of order."""
    windows.say("turn", "not yet", now + 3 * HOUR, now + 5 * HOUR, after="strip")
    project_pour(store, now, pour_id)
    assert owed(store, "opens", "turn") == owed(store, "closes", "turn") == []
    tick(rounds, now + 4 * HOUR)
    assert mailbox.notices == []
    windows.say("turn", "not yet", now + 6 * HOUR, now + 8 * HOUR)  # the walls are off now
    project_pour(store, now + 5 * HOUR, pour_id)
    assert [row.due_at for row in owed(store, "opens", "turn")] == [now + 6 * HOUR]


def test_a_notice_is_held_again_when_the_step_before_it_is_undone(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    windows.say("turn", "not yet", now + 6 * HOUR)
    project_pour(store, now, pour_id)
    windows.say("turn", "not yet", now + 6 * HOUR, after="strip")
    project_pour(store, now + HOUR, pour_id)
    assert [row.state for row in owed(store, "opens", "turn")] == ["held"]
    tick(rounds, now + 7 * HOUR)
    assert mailbox.notices == []
