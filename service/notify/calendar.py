"""The plan as a calendar feed (RFC 5545, RFC 7986): UTC, stable UID, changes numbered."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from icalendar import Alarm, Calendar, Event

REFRESH_INTERVAL = timedelta(hours=1)


@dataclass(frozen=True)
class PlanEvent:
    """One entry; `changes` is its SEQUENCE."""

    uid: str
    begin: datetime
    end: datetime
    summary: str
    description: str
    changed_at: datetime
    changes: int
    cancelled: bool
    alarm: bool


def feed(name: str, events: Iterable[PlanEvent]) -> bytes:
    """The feed's text. A calendar looks when it likes: it shows the plan, it is not the alarm."""
    calendar = Calendar()
    calendar.add("prodid", "-//castclock//plan//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("name", name)
    # RFC 7986 wants the parameter, which icalendar leaves out
    calendar.add("refresh-interval", REFRESH_INTERVAL, parameters={"VALUE": "DURATION"})
    for event in events:
        calendar.add_component(_entry(event))
    text: bytes = calendar.to_ical()
    return text


def _entry(plan: PlanEvent) -> Event:
    entry = Event()
    entry.add("uid", plan.uid)
    entry.add("dtstamp", plan.changed_at)
    entry.add("last-modified", plan.changed_at)
    entry.add("sequence", plan.changes)
    entry.add("dtstart", plan.begin.astimezone(UTC))
    end = max(plan.end, plan.begin + timedelta(minutes=15))
    entry.add("dtend", end.astimezone(UTC))
    entry.add("summary", plan.summary)
    entry.add("description", plan.description)
    entry.add("status", "CANCELLED" if plan.cancelled else "CONFIRMED")
    entry.add("transp", "TRANSPARENT")
    if plan.alarm and not plan.cancelled:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", plan.summary)
        alarm.add("trigger", timedelta(0))
        entry.add_component(alarm)
    return entry
