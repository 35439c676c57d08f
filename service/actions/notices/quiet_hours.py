"""What somebody is told and when. Instants of the physics are never touched here."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from typing import Protocol
from zoneinfo import ZoneInfo

from models.instants import within_hours
from models.records import Person, Reminder, Shop

DAY = timedelta(days=1)
FUMES = "fumes"
WEATHER = ("frost", "rain", "wind")
BEFORE_QUIET = timedelta(minutes=15)  # so that it is read before the phone is laid down
LATE = timedelta(hours=1)  # after the hour in which who may not be woken is told of the night
OWN = ("notice_kinds", "notice_lead_min", "quiet_from", "quiet_to", "frost_wakes")


class Rules(Protocol):
    """What the shop wants to be told and when; of a person who has their own, theirs.

    working_from : when one is told what fell in the quiet hours
    """

    @property
    def notice_kinds(self) -> Collection[str]: ...
    @property
    def notice_lead_min(self) -> int: ...
    @property
    def quiet_from(self) -> time: ...
    @property
    def quiet_to(self) -> time: ...
    @property
    def working_from(self) -> time: ...
    @property
    def frost_wakes(self) -> bool: ...
    @property
    def timezone(self) -> str: ...


@dataclass(frozen=True)
class OwnRules:
    """Those of a person, as far as the owner lets them be told."""

    notice_kinds: tuple[str, ...]
    notice_lead_min: int
    quiet_from: time
    quiet_to: time
    working_from: time
    frost_wakes: bool
    timezone: str


def rules_of(shop: Shop, person: Person | None = None) -> OwnRules:
    """The shop's, which are the usual ones; of a person with what they chose for themselves."""
    told = {name: getattr(shop, name) for name in OWN}
    works = shop.working_from
    if person is not None:
        told |= {name: own for name in OWN if (own := getattr(person, name)) is not None}
        works = person.quiet_to if person.quiet_to is not None else works
        if person.may_hear is not None and person.role != "owner":
            told["notice_kinds"] = [one for one in told["notice_kinds"] if one in person.may_hear]
    told["notice_kinds"] = tuple(told["notice_kinds"])
    return OwnRules(**told, working_from=works, timezone=shop.timezone)


def is_wanted(row: Reminder, rules: Rules) -> bool:
    """Whether one wants to be told of it; what may kill, and what takes back, is always."""
    always = row.kind == "correction" or row.step == FUMES
    return always or row.kind in rules.notice_kinds


def due_at(row: Reminder, rules: Rules, *, planned_late: bool = True) -> datetime:
    """When one is told of it: the same whenever it is asked, until it is planned anew.

    planned_late : not before it was planned, which is every time a projection renews its window
    """
    if row.wanted_at is None or row.until_at is None or row.planned_at is None:
        return row.due_at  # a row of before
    wanted = row.wanted_at
    if row.kind == "opens" and wanted == row.window_at:
        wanted -= timedelta(minutes=rules.notice_lead_min)
    wakes = rules.frost_wakes or not _may_wait(row)
    wanted = max(wanted, row.planned_at) if planned_late else wanted
    return due_time(wanted, row.until_at, row.planned_at, rules, wakes=wakes)


def _may_wait(row: Reminder) -> bool:
    return row.kind in WEATHER and row.step in WEATHER


@dataclass(frozen=True)
class Hours:
    """When a notice is wanted, until when it can be acted upon, and until when it is told."""

    wanted_at: datetime
    until_at: datetime
    not_after: datetime
    lasts: timedelta = timedelta(0)  # at least, from when it is told


def set_hours(
    row: Reminder, now: datetime, hours: Hours, listeners: Sequence[Rules], usual: Rules
) -> None:
    """It is due when the first who wants it is told; where nobody does, as the shop would be."""
    row.wanted_at, row.until_at, row.planned_at = hours.wanted_at, hours.until_at, now
    row.asked_at = row.asked_by_id = None
    wanting = [one for one in listeners if is_wanted(row, one)] or [usual]
    told = [due_at(row, one) for one in wanting]
    row.due_at = min(told)
    lasts = max(hours.lasts, LATE) if _may_wait(row) else hours.lasts
    row.not_after = max(hours.not_after, max(told) + lasts)


def due_time(
    wanted: datetime, until: datetime, now: datetime, rules: Rules, *, wakes: bool = True
) -> datetime:
    """`wanted`, or the next working hour when it falls in quiet hours.

    Where that would not be before `until`, shortly before the quiet hours; where even that is over,
    `wanted` itself: something can still be done, and loss is near. Who may not be woken is told at
    the next working hour even so.
    """
    zone = ZoneInfo(rules.timezone)
    if not is_quiet(wanted, rules):
        return wanted
    later = _next(wanted, rules.working_from, zone)
    if later < until:
        return later
    quiet = _last(wanted, rules.quiet_from, zone)
    if quiet > now:
        return max(quiet - BEFORE_QUIET, now)
    return wanted if wakes else later


def is_quiet(at: datetime, rules: Rules) -> bool:
    """Whether an instant falls in the hours in which nobody wants to be woken."""
    quiet, clock = (
        (rules.quiet_from, rules.quiet_to),
        at.astimezone(ZoneInfo(rules.timezone)).time(),
    )
    return quiet[0] != quiet[1] and within_hours(quiet, clock)


def _next(at: datetime, clock: time, zone: tzinfo) -> datetime:
    day = at.astimezone(zone).date()
    return min(
        instant for k in range(3) if (instant := _instant(day + k * DAY, clock, zone, at)) >= at
    )


def _last(at: datetime, clock: time, zone: tzinfo) -> datetime:
    day = at.astimezone(zone).date()
    return max(
        instant for k in range(3) if (instant := _instant(day - k * DAY, clock, zone, at)) <= at
    )


def _instant(day: date, clock: time, zone: tzinfo, like: datetime) -> datetime:
    return datetime.combine(day, clock, tzinfo=zone).astimezone(like.tzinfo)
