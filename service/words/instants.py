"""Instants as a reader's clock and calendar show them (Babel: names of days and months)."""

from dataclasses import replace
from datetime import datetime, time, timedelta

from babel.dates import format_datetime

from service.words.reader import Reader

NO_HOUR = "too uncertain to say yet"
# by the order of day and month
PATTERNS = {
    "dmy": {"day": "EEE d MMM", "dated": "EEE d MMM yyyy", "date": "d MMMM yyyy"},
    "mdy": {"day": "EEE MMM d", "dated": "EEE MMM d, yyyy", "date": "MMMM d, yyyy"},
}
JOINED = {"dmy": "{day} {time}", "mdy": "{day}, {time}"}
TIMES = {"time": {24: "HH:mm", 12: "h:mm a"}, "hour": {24: "HH", 12: "h a"}}
DAY, QUARTER, HALF_DAY = timedelta(days=1), timedelta(minutes=15), timedelta(hours=12)


def instant(at: datetime | None, spec: str, reader: Reader) -> str:
    """`Thu 15 Oct 07:30` on the clock of the place; of a doubled hour with its offset.

    spec : nothing, or one of day, dated, date, time, hour; `near` leaves the day away where it is
        today; `up` or `down`, by itself or after it, for an hour that opens or closes
    """
    if at is None:
        return NO_HOUR
    spec, _, way = spec.rpartition(" ") if spec.endswith((" up", " down")) else (spec, "", "")
    if spec in ("up", "down"):
        spec, way = "", spec
    if way:
        at = deserved(at, reader, up=way == "up")
    local = reader.clock(at)
    if spec == "near":
        today = reader.now is not None and reader.clock(reader.now).date() == local.date()
        return on_day("", at, reader) if today else instant(at, "", reader)
    if spec in TIMES:  # am and pm in small letters in both Englishes
        return format_datetime(local, TIMES[spec][reader.hours], locale=reader.locale).lower()
    if spec:
        return format_datetime(local, PATTERNS[reader.order][spec], locale=reader.locale)
    return on_day(instant(at, "day", reader), at, reader)


def on_day(day: str, at: datetime, reader: Reader) -> str:
    """The hour of an instant after its day, which may be a word as `today`, or none."""
    hour = instant(at, "time", reader)
    shown = JOINED[reader.order].format(day=day, time=hour) if day else hour
    return shown + (_elsewhere(at, reader) or which(reader.clock(at)))


def deserved(at: datetime, reader: Reader, *, up: bool, fine: bool = False) -> datetime:
    """An hour that opens (up) or closes (down) as fine as it deserves, never on the unsafe side.

    By the age of the piece: minutes in its first day, quarter hours in the second, half days after;
    quarters too where a half day would say too little: within the next half day, or `fine`. An hour
    that has come is told as it was.
    """
    if reader.placed_at is None or (reader.now is not None and at <= reader.now):
        return at
    age = at - reader.placed_at
    if age <= DAY:
        return _rounded(at, timedelta(minutes=1), reader, up=up)
    near = reader.now is not None and at - reader.now <= HALF_DAY
    return _rounded(at, QUARTER if fine or near or age <= 2 * DAY else HALF_DAY, reader, up=up)


def window(
    opens: datetime | None, closes: datetime | None, reader: Reader
) -> tuple[datetime | None, datetime | None]:
    """Both ends of a window; told finer where half days would leave nothing of it."""
    for fine in (False, True):
        ends = (
            opens and deserved(opens, reader, up=True, fine=fine),
            closes and deserved(closes, reader, up=False, fine=fine),
        )
        if ends[0] is None or ends[1] is None or ends[0] < ends[1]:
            return ends
    return opens, closes


def first_working(at: datetime, reader: Reader) -> datetime | None:
    """The first hour of work after an hour of the night; None within the shop's day."""
    if reader.works is None:
        return None
    begins, ends = reader.works
    local = reader.clock(at)
    hour = local.time().replace(tzinfo=None)
    within = begins <= hour < ends if begins < ends else hour >= begins or hour < ends
    if within:
        return None
    today = datetime.combine(local.date(), begins, tzinfo=local.tzinfo)
    return today if hour < begins else today + DAY


def which(local: datetime) -> str:
    """` CDT`, or ` +1030` without letters, of a time that a clock shows twice; else nothing.

    local : an instant taken to its zone, so that it is never in an hour that the clocks leave out
    """
    if local.replace(fold=1 - local.fold).utcoffset() == local.utcoffset():
        return ""
    return f" {_letters(local)}"


def _letters(local: datetime) -> str:
    return f"{local:%Z}" if f"{local:%Z}".isalpha() else f"{local:%z}"


def _elsewhere(at: datetime, reader: Reader) -> str:
    """` CST (19:15 GMT there)` where the place has another clock than the shop."""
    if not reader.elsewhere:
        return ""
    here, there = reader.clock(at), reader_there(reader).clock(at)
    if here.utcoffset() == there.utcoffset():
        return ""
    hour = instant(at, "time", reader_there(reader))
    return f" {_letters(here)} ({hour} {_letters(there)} there)"


def reader_there(reader: Reader) -> Reader:
    """The same on the clock of the place that is spoken of."""
    return replace(reader, timezone=reader.elsewhere or reader.timezone, elsewhere="")


def _rounded(at: datetime, grain: timedelta, reader: Reader, *, up: bool) -> datetime:
    """To a whole number of grains after midnight of the wall clock."""
    local = reader.clock(at)
    midnight = datetime.combine(local.date(), time.min)
    over = (local.replace(tzinfo=None) - midnight) % grain
    if not over:
        return at
    return at + (grain - over if up else -over)
