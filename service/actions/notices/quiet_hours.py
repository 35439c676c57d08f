"""What a person is told and when. Instants of the physics are never touched here."""

from datetime import date, datetime, time, timedelta, tzinfo
from zoneinfo import ZoneInfo

from models.instants import within_hours
from models.records import Reminder, Shop

DAY = timedelta(days=1)
FUMES = "fumes"


def is_wanted(row: Reminder, shop: Shop) -> bool:
    """Whether the shop wants to be told of it; what may kill, and what takes back, is always."""
    always = row.kind == "correction" or row.step == FUMES
    return always or row.kind in shop.notice_kinds


def due_time(
    wanted: datetime, until: datetime, now: datetime, shop: Shop, *, wakes: bool = True
) -> datetime:
    """`wanted`, or the next working hour when it falls in quiet hours.

    Where that would be after `until`, just before the quiet hours; where even that is over,
    `wanted` itself: something can still be done, and loss is near. Who may not be woken is told at
    the next working hour even so.
    """
    zone = ZoneInfo(shop.timezone)
    if not is_quiet(wanted, shop):
        return wanted
    later = _next(wanted, shop.working_from, zone)
    if later <= until:
        return later
    earlier = _last(wanted, shop.quiet_from, zone)
    if earlier > now:
        return earlier
    return wanted if wakes else later


def is_quiet(at: datetime, shop: Shop) -> bool:
    """Whether an instant falls in the hours in which nobody wants to be woken."""
    quiet, clock = (shop.quiet_from, shop.quiet_to), at.astimezone(ZoneInfo(shop.timezone)).time()
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
