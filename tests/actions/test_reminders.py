"""A window that moves moves its notice; a done step cancels it; a wrong one is withdrawn."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from sqlmodel import col, select

from models.message import Message, text
from models.records import Projection, Reminder, Shop
from scheduler.jobs import Rounds
from service.actions.notices import quiet_hours
from service.actions.pours.log_pour import close_pour
from service.actions.pours.mark_step_done import mark_step_done, undo_step
from service.actions.windows.project_pour import project_pour
from service.store import Store
from service.words.spelling import american
from tests.support.shop import Mailbox, Windows
from tests.support.words import said, tells

CHICAGO = "America/Chicago"
HOUR = timedelta(hours=1)


def owed(store: Store, kind: str = "opens", step: str = "strip") -> list[Reminder]:
    with store.reading() as session:
        return list(
            session.exec(
                select(Reminder)
                .where(Reminder.kind == kind, Reminder.step == step)
                .order_by(col(Reminder.round))
            ).all()
        )


def tick(rounds: Rounds, at: datetime) -> None:
    """One round of the clock: project what is due, then send what is owed."""
    rounds.project(at)
    rounds.deliver(at)


def projected(store: Store, now: datetime, pour_id: int) -> Projection:
    row = project_pour(store, now, pour_id)
    assert row is not None
    return row


def test_a_step_ahead_is_owed_a_notice_at_its_sure_hour(
    store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    projected(store, now, pour_id)
    (row,) = owed(store)
    assert (row.state, row.due_at, row.key) == (
        "waiting",
        now + 15 * HOUR,
        f"{pour_id}:strip:opens",
    )
    told = {"text": "4.2 MPa of 5.0 at the coldest corner."}
    assert row.facts["because"] == [{"code": "text", "values": told}]


def test_a_step_that_was_open_before_it_was_logged_is_not_announced(
    store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "open", now - HOUR)
    projected(store, now, pour_id)
    assert owed(store) == []


def test_a_window_that_moves_moves_its_notice(
    store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    projected(store, now, pour_id)
    windows.say("strip", "not yet", now + 18 * HOUR)
    row = projected(store, now + HOUR, pour_id)
    (moved,) = owed(store)
    assert moved.due_at == now + 18 * HOUR
    assert moved.changes == 1
    assert row.moved is not None
    (why,) = row.moved["values"]["moves"]
    assert (why["code"], why["values"]["key"]) == ("moved_later", "strip")
    assert why["values"]["by"] == {"code": "span_h", "values": {"span_h": 3.0}}


def test_a_window_that_stands_leaves_one_projection_and_an_unchanged_notice(
    store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    first = projected(store, now, pour_id)
    second = projected(store, now + HOUR, pour_id)
    assert (second.id, second.made_at, second.checked_at) == (first.id, now, now + HOUR)
    assert [row.changes for row in owed(store)] == [0]


def test_a_done_step_cancels_its_notices_at_once(
    store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR, now + 20 * HOUR)
    projected(store, now, pour_id)
    with store.unit_of_work() as session:
        mark_step_done(session, now, pour_id, "strip", now)
    assert [row.state for row in owed(store) + owed(store, "closes")] == ["cancelled"] * 2


def test_undoing_a_step_owes_its_notice_again(
    store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    projected(store, now, pour_id)
    with store.unit_of_work() as session:
        mark_step_done(session, now, pour_id, "strip", now)
        undo_step(session, now, pour_id, "strip")
    projected(store, now, pour_id)
    assert [row.state for row in owed(store)] == ["waiting"]


def test_a_blocked_step_holds_its_notice__nothing_goes_out(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    projected(store, now, pour_id)
    windows.say("strip", "blocked", None)
    projected(store, now + HOUR, pour_id)
    assert [row.state for row in owed(store)] == ["held"]
    tick(rounds, now + 16 * HOUR)
    assert mailbox.notices == []
    windows.say("strip", "open", now + 15 * HOUR)
    projected(store, now + 17 * HOUR, pour_id)
    tick(rounds, now + 17 * HOUR)
    assert [notice.key for notice in mailbox.notices] == [f"{pour_id}:strip:opens"]


def test_a_sent_notice_that_became_wrong_is_withdrawn_and_owed_anew(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    projected(store, now, pour_id)
    later = now + 15 * HOUR
    tick(rounds, later)
    windows.say("strip", "not yet", later + 4 * HOUR)
    projected(store, later + HOUR, pour_id)
    tick(rounds, later + HOUR)
    assert [notice.key for notice in mailbox.notices] == [
        f"{pour_id}:strip:opens",
        f"{pour_id}:strip:correction",
    ]
    withdrawn, told = mailbox.notices[1].title, {"piece": "North bench #1", "sure_at": "1:00 pm"}
    assert tells(withdrawn, "notice_not_yet_from", **told, doing=said("doing", doing="strip"))
    first, second = owed(store)
    assert first.superseded_at == later + HOUR
    assert (second.state, second.due_at, second.round) == ("waiting", later + 4 * HOUR, 2)
    projected(store, later + 2 * HOUR, pour_id)
    assert len(owed(store, "correction")) == 1
    tick(rounds, later + 4 * HOUR)
    assert mailbox.notices[2].key == f"{pour_id}:strip:opens:2"


def test_a_sent_notice_is_withdrawn__when_no_time_can_be_told_any_more(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    projected(store, now, pour_id)
    tick(rounds, now + 15 * HOUR)
    windows.say("strip", "blocked", None, because="It froze before 3.5 MPa")
    projected(store, now + 16 * HOUR, pour_id)
    tick(rounds, now + 16 * HOUR)
    assert "too uncertain to say when" in mailbox.notices[-1].body
    assert "It froze before 3.5 MPa" in mailbox.notices[-1].body


def test_a_move_within_half_an_hour_withdraws_nothing(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    projected(store, now, pour_id)
    tick(rounds, now + 15 * HOUR)
    windows.say("strip", "not yet", now + 15 * HOUR + timedelta(minutes=29))
    projected(store, now + 15 * HOUR, pour_id)
    assert owed(store, "correction") == []


def test_a_window_with_an_end_is_told_before_it_closes(
    store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("knock-out", "not yet", now + 15 * HOUR, now + 19 * HOUR)
    projected(store, now, pour_id)
    (row,) = owed(store, "closes", "knock-out")
    assert (row.due_at, row.not_after) == (now + 18 * HOUR, now + 19 * HOUR)


def test_closing_a_pour_cancels_all_it_owes(
    store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + 15 * HOUR)
    windows.say("turn", "not yet", now + 30 * HOUR)
    projected(store, now, pour_id)
    with store.unit_of_work() as session:
        close_pour(session, now, pour_id, "lost")
    assert [row.state for row in owed(store) + owed(store, step="turn")] == ["cancelled"] * 2


def test_frost_wakes_at_night__other_steps_wait_for_the_morning(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    night = now + 6 * HOUR  # midnight in the shop
    windows.say("sand", "not yet", night)
    windows.warn("frost", night + 4 * HOUR, night + 2 * HOUR)
    projected(store, night - timedelta(minutes=1), pour_id)
    tick(rounds, night)
    (notice,) = mailbox.notices
    assert tells(notice.title, "notice_alert", piece="North bench #1", act_by_at="2:00 am")
    assert tells(notice.title, "against_frost", remedy=said("text", text="one blanket"))
    assert owed(store, step="sand")[0].due_at == now + 13 * HOUR  # 07:00 in the shop
    projected(store, night + HOUR, pour_id)
    tick(rounds, night + HOUR)
    assert len(mailbox.notices) == 1


def test_a_frost_of_the_coming_night_is_told_in_the_evening(
    store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.warn("frost", now + 10 * HOUR, now + 9 * HOUR)  # 03:00 in the shop; it is 18:00
    projected(store, now, pour_id)
    (row,) = owed(store, "frost", "frost")
    assert (row.due_at, row.not_after) == (now, now + 10 * HOUR)


@pytest.mark.parametrize("kind", ["frost", "rain", "wind"])
def test_an_alert_is_told_once_and_again_only_when_it_comes_sooner(
    store: Store,
    pour_id: int,
    windows: Windows,
    rounds: Rounds,
    mailbox: Mailbox,
    now: datetime,
    kind: str,
) -> None:
    windows.warn(kind, now + 9 * HOUR, now + 6 * HOUR)
    projected(store, now, pour_id)
    tick(rounds, now)
    windows.warn(kind, now + 9 * HOUR, now + 6 * HOUR, chance=0.6)
    projected(store, now + HOUR, pour_id)
    tick(rounds, now + HOUR)
    assert len(mailbox.notices) == 1
    windows.warn(kind, now + 5 * HOUR, now + 3 * HOUR)
    projected(store, now + 1.5 * HOUR, pour_id)
    tick(rounds, now + 1.5 * HOUR)
    assert len(mailbox.notices) == 2
    assert [row.state for row in owed(store, kind, kind)] == ["sent", "sent"]


def test_an_alert_is_called_off_when_the_sky_clears(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    windows.warn("rain", now + 9 * HOUR, now + 8 * HOUR)
    projected(store, now, pour_id)
    tick(rounds, now)
    windows.clear()
    projected(store, now + HOUR, pour_id)
    tick(rounds, now + HOUR)
    assert mailbox.notices[-1].title == said(
        "notice_no_alert", piece="North bench #1", alert="rain"
    )
    windows.warn("rain", now + 9 * HOUR, now + 8 * HOUR)
    projected(store, now + 2 * HOUR, pour_id)
    assert [row.state for row in owed(store, "rain", "rain")] == ["sent", "waiting"]


def test_an_alert_that_the_maker_has_answered_is_not_called_off(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    windows.warn("frost", now + 9 * HOUR, now + 8 * HOUR)
    projected(store, now, pour_id)
    tick(rounds, now)
    windows.clear()
    with store.unit_of_work() as session:
        mark_step_done(session, now + HOUR, pour_id, "cover", now + HOUR)
    projected(store, now + HOUR, pour_id)
    tick(rounds, now + HOUR)
    assert len(mailbox.notices) == 1


def test_an_alert_not_sent_yet_goes_without_a_word(
    store: Store, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.warn("wind", now + 9 * HOUR, now + 8 * HOUR)
    projected(store, now, pour_id)
    windows.clear()
    projected(store, now + HOUR, pour_id)
    assert [row.state for row in owed(store, "wind", "wind")] == ["cancelled"]
    assert owed(store, "correction", "wind") == []


def test_once_it_froze_that_is_told_once_and_no_blanket_any_more(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    windows.warn("frost", now + 9 * HOUR, now + 8 * HOUR)
    projected(store, now, pour_id)
    tick(rounds, now)
    windows.clear()
    morning = now + 14 * HOUR
    windows.say("strip", "frozen", None, because="Probably frozen since 02:00")
    why = text("Probably frozen since 02:00: leave the mould on")
    windows.warnings = (Message("frost_froze", {"why": why}),)
    for hours in (0, 3, 25, 50):
        projected(store, morning + hours * HOUR, pour_id)
        tick(rounds, morning + hours * HOUR)
    first, second = (one for one in mailbox.notices if one.key.endswith(":frost"))
    assert tells(first.title, "notice_alert", piece="North bench #1", act_by_at="9:00 pm")
    assert tells(first.title, "against_frost", remedy=said("text", text="one blanket"))
    assert second.title == american(said("notice_frozen", piece="North bench #1"))
    assert "leave the mould on" in second.body


def in_chicago() -> Shop:
    at = datetime(2026, 1, 1, tzinfo=ZoneInfo(CHICAGO))
    return Shop(created_at=at, feed_token="t", timezone=CHICAGO)


@pytest.mark.parametrize(
    ("wanted", "until", "told"),
    [
        ("2026-10-15T14:00", "2026-10-20T00:00", "2026-10-15T14:00"),
        ("2026-10-15T23:30", "2026-10-20T00:00", "2026-10-16T07:00"),
        ("2026-10-16T03:00", "2026-10-20T00:00", "2026-10-16T07:00"),
        ("2026-10-16T03:00", "2026-10-16T05:00", "2026-10-15T21:45"),
        ("2026-11-01T01:30", "2026-11-20T00:00", "2026-11-01T07:00"),  # clocks go back
        ("2027-03-14T01:30", "2027-03-20T00:00", "2027-03-14T07:00"),  # clocks go forward
    ],
)
def test_quiet_hours_shift_only_when_it_is_told(wanted: str, until: str, told: str) -> None:
    zone = ZoneInfo(CHICAGO)
    shop = in_chicago()
    wanted_at, until_at, told_at = (
        datetime.fromisoformat(text).replace(tzinfo=zone) for text in (wanted, until, told)
    )
    now = wanted_at - timedelta(hours=12)
    assert quiet_hours.due_time(wanted_at, until_at, now, shop) == told_at


def test_a_loss_that_is_near_is_told_in_quiet_hours__when_no_other_time_is_left() -> None:
    zone = ZoneInfo(CHICAGO)
    wanted = datetime(2026, 10, 16, 3, 0, tzinfo=zone)
    now = datetime(2026, 10, 16, 1, 0, tzinfo=zone)
    assert quiet_hours.due_time(wanted, wanted + HOUR, now, in_chicago()) == wanted


def test_a_finished_piece_is_still_told_to_be_sealed_again_in_its_season(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    year = timedelta(days=365)
    windows.say("reseal", "not yet", now + year)
    windows.say("strip", "not yet", now + 15 * HOUR)
    projected(store, now, pour_id)
    with store.unit_of_work() as session:
        close_pour(session, now + HOUR, pour_id, "finished")
    assert [row.state for row in owed(store)] == ["cancelled"]
    assert [row.state for row in owed(store, step="reseal")] == ["waiting"]
    rounds.deliver(now + year + timedelta(minutes=1))
    (notice,) = mailbox.notices
    doing = Message("doing", {"doing": "reseal"})
    assert notice.title == said("notice_opens", piece="North bench #1", doing=doing)


@pytest.mark.parametrize("why", ["lost", "logged by mistake"])
def test_a_lost_piece_is_never_sealed_again(
    store: Store, pour_id: int, windows: Windows, now: datetime, why: str
) -> None:
    windows.say("reseal", "not yet", now + timedelta(days=365))
    projected(store, now, pour_id)
    with store.unit_of_work() as session:
        close_pour(session, now + HOUR, pour_id, why)
    assert [row.state for row in owed(store, step="reseal")] == ["cancelled"]


def test_a_window_that_closes_before_it_is_sure_is_told_at_even_odds(
    store: Store, pour_id: int, windows: Windows, rounds: Rounds, mailbox: Mailbox, now: datetime
) -> None:
    """A slab goes by the thumb: at the sure hour it may be too late to put the cover on."""
    windows.say("cover", "not yet", now + 2 * HOUR, now + 1.6 * HOUR)  # even odds at 1 h
    projected(store, now, pour_id)
    (opens,), (closes,) = owed(store, "opens", "cover"), owed(store, "closes", "cover")
    assert (opens.window_at, opens.due_at) == (now + HOUR, now + HOUR)
    assert opens.not_after == closes.window_at == now + 1.6 * HOUR
    assert opens.due_at < closes.due_at < closes.window_at
    windows.say("cover", "closing", now + 2 * HOUR, now + 1.6 * HOUR)
    tick(rounds, now + HOUR)
    (told,) = mailbox.notices
    assert "put the cover on before 7:36 pm" in told.title
    assert "Probably from 7:00 pm; too uncertain to call safe" in told.body
