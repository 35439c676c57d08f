"""The plan as a calendar feed (RFC 5545, RFC 7986): UTC, stable UID, changes numbered."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from icalendar import Alarm, Calendar, Event

REFRESH_INTERVAL = timedelta(hours=1)


@dataclass(frozen=True)
class PlanEvent:
    """One entry; `changes` is its SEQUENCE.

    alarm_at : when it sounds; None: it does not
    """

    uid: str
    begin: datetime
    end: datetime
    summary: str
    description: str
    changed_at: datetime
    changes: int
    cancelled: bool
    alarm_at: datetime | None
    url: str
    location: str


def feed(name: str, events: Iterable[PlanEvent]) -> bytes:
    """The feed's text. A calendar looks when it likes: it shows the plan, it is not the alarm."""
    calendar = Calendar()
    calendar.add("prodid", "-//castclock//plan//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)  # what older calendars read instead
    # RFC 7986 wants the parameter, which icalendar leaves out
    calendar.add("refresh-interval", REFRESH_INTERVAL, parameters={"VALUE": "DURATION"})
    calendar.add("x-published-ttl", "PT1H")
    for event in events:
        calendar.add_component(_entry(event))
    text: bytes = calendar.to_ical()
    return text


@dataclass(frozen=True)
class DayEvent:
    """One date that takes the whole day."""

    uid: str
    day: date
    summary: str
    description: str
    every_year: bool = False


def days(name: str, at: datetime, events: Iterable[DayEvent]) -> bytes:
    """A file of dates to be put into a calendar, as told at an instant."""
    calendar = Calendar()
    calendar.add("prodid", "-//castclock//dates//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", name)
    for event in events:
        entry = Event()
        entry.add("uid", event.uid)
        entry.add("dtstamp", at)
        entry.add("dtstart", event.day)
        entry.add("summary", event.summary)
        entry.add("description", event.description)
        entry.add("transp", "TRANSPARENT")
        if event.every_year:
            entry.add("rrule", {"freq": "yearly"})
        calendar.add_component(entry)
    text: bytes = calendar.to_ical()
    return text


def _entry(plan: PlanEvent) -> Event:
    entry = Event()
    entry.add("uid", plan.uid)
    entry.add("dtstamp", plan.changed_at)
    entry.add("last-modified", plan.changed_at)
    entry.add("sequence", plan.changes)
    entry.add("dtstart", plan.begin.astimezone(UTC))
    entry.add("dtend", plan.end.astimezone(UTC))
    entry.add("summary", plan.summary)
    entry.add("description", plan.description)
    entry.add("url", plan.url)
    if plan.location:
        entry.add("location", plan.location)
    entry.add("status", "CANCELLED" if plan.cancelled else "CONFIRMED")
    entry.add("transp", "TRANSPARENT")
    if plan.alarm_at is not None and not plan.cancelled:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", plan.summary)
        alarm.add("trigger", plan.alarm_at - plan.begin)
        entry.add_component(alarm)
    return entry
