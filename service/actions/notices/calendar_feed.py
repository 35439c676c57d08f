"""The calendar feed: every window that is owed a notice, and what was withdrawn."""

import secrets
from datetime import datetime, timedelta

from sqlmodel import Session

from models.records import Reminder
from service import preference
from service.notify import calendar, words
from service.queries import reminders
from service.queries.rows import NoSuchRow, find_shop
from service.words import Reader
from service.words.instants import window

LISTED_FOR = timedelta(days=30)
LONGEST_ENTRY = timedelta(hours=12)
GONE = ("cancelled", "held", "expired")


def show_plan(session: Session, now: datetime, token: str) -> bytes:
    """The feed behind the shop's secret token; NoSuchRow for any other."""
    shop = find_shop(session)
    if not secrets.compare_digest(token.encode(), shop.feed_token.encode()):
        raise NoSuchRow(
            "token", "(not shown)", "no such calendar", "the address on the shop's page"
        )
    rows = reminders.in_calendar(session, now - LISTED_FOR)
    return calendar.feed(shop.name, [_event(row, preference.of_shop(shop, now)) for row in rows])


def _event(row: Reminder, reader: Reader) -> calendar.PlanEvent:
    notice = words.notice(row.key, row.kind, row.facts, row.not_after, reader)
    reader = words.about_pour(reader, row.facts)
    latest = row.facts["latest"]
    ends = row.window_at if row.kind == "closes" else latest and datetime.fromisoformat(latest)
    opens, ends = window(None if row.kind == "closes" else row.window_at, ends, reader)
    begin = opens or row.due_at
    end = min(ends or begin, begin + LONGEST_ENTRY) if opens else ends or begin
    return calendar.PlanEvent(
        uid=f"{row.key}@castclock",
        begin=begin,
        end=end,
        summary=notice.title,
        description=notice.body,
        changed_at=row.changed_at,
        changes=row.changes,
        cancelled=row.state in GONE or row.superseded_at is not None,
        alarm=True,
    )
