"""The calendar feed: an entry for each window that is owed a notice, and for what the weather asks;
what was withdrawn stays as cancelled."""

import secrets
from datetime import datetime, timedelta

from sqlmodel import Session

from models.records import Reminder, Shop
from service import preference
from service.actions.notices.quiet_hours import due_time, is_quiet
from service.notify import calendar, words
from service.queries import reminders
from service.queries.rows import NoSuchRow, find_shop
from service.words import Reader
from service.words.instants import act_by, window

LISTED_FOR = timedelta(days=30)
NO_END = timedelta(hours=1)  # so long is the entry of a window that stays open
TO_ACT = timedelta(hours=1)  # before the last instant at which a remedy is enough
WINDOWS = ("opens", "closes")
GONE = ("cancelled", "held", "expired")


def show_plan(session: Session, now: datetime, token: str, address: str) -> bytes:
    """The feed behind the shop's secret token; NoSuchRow for any other.

    address : where the pages are, for the link of each entry
    """
    shop = find_shop(session)
    if not secrets.compare_digest(token.encode(), shop.feed_token.encode()):
        raise NoSuchRow(
            "token", "(not shown)", "no such calendar", "the address on the shop's page"
        )
    rows = reminders.in_calendar(session, now - LISTED_FOR)
    closing = {  # the last round of each
        (row.pour_id, row.step): row for row, _ in rows if row.kind == "closes"
    }
    opening = {(row.pour_id, row.step) for row, _ in rows if row.kind == "opens"}
    reader, told = preference.of_shop(shop, now), []
    for row, place in rows:
        key = row.pour_id, row.step
        closes = closing.get(key) if row.kind in WINDOWS else None
        if row.kind == "closes" and (key in opening or row is not closes):
            continue  # one entry a window: that it closes is its end
        event = _event(row, closes, place, shop, reader, address)
        if event is not None:
            told.append(event)
    return calendar.feed(shop.name, told)


def _event(
    row: Reminder,
    closes: Reminder | None,
    place: str,
    shop: Shop,
    reader: Reader,
    address: str,
) -> calendar.PlanEvent | None:
    """The entry of a notice; None of a window that would end before it begins."""
    begin, end = _hours(row, closes, words.about_pour(reader, row.facts))
    if end <= begin:
        return None
    notice = words.notice(row.key, row.kind, row.facts, row.not_after, reader)
    sounds = due_time(begin, end, begin, shop)
    both = [row] if closes is None or closes is row else [row, closes]
    return calendar.PlanEvent(
        uid=f"{row.key}@castclock",
        begin=begin,
        end=end,
        summary=words.plain_title(row.facts, reader) if row.kind in WINDOWS else notice.title,
        description=notice.body,
        changed_at=max(one.changed_at for one in both),
        changes=sum(one.changes for one in both),
        cancelled=row.state in GONE or row.superseded_at is not None,
        alarm_at=None if is_quiet(sounds, shop) else sounds,
        url=f"{address}/pours/{row.pour_id}",
        location=place,
    )


def _hours(row: Reminder, closes: Reminder | None, reader: Reader) -> tuple[datetime, datetime]:
    """From safe to the latest, as fine as page and notice tell them; of the weather the hour before
    it is too late to act."""
    if row.kind not in WINDOWS:
        by = act_by(_instant(row, "act_by") or row.window_at, reader)
        return by - TO_ACT, by
    begin = row.window_at if row.kind == "opens" else _instant(row, "safe") or row.due_at
    stands = closes is not None and closes.state not in GONE
    latest = closes.window_at if closes is not None and stands else _instant(row, "latest")
    opens, ends = window(begin, latest, reader)
    return opens or begin, ends or (opens or begin) + NO_END


def _instant(row: Reminder, fact: str) -> datetime | None:
    at = row.facts.get(fact)
    return datetime.fromisoformat(at) if at else None
