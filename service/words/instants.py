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
WAYS = ("up", "down", "by")
DAY, QUARTER, HALF_DAY = timedelta(days=1), timedelta(minutes=15), timedelta(hours=12)


def instant(at: datetime | None, spec: str, reader: Reader) -> str:
    """`Thu 15 Oct 07:30` on the clock of the place; of a doubled hour with its offset.

    spec : nothing, or one of day, dated, date, time, hour; `near` leaves the day away where it is
        today; `up` or `down`, by itself or after it, for an hour that opens or closes; `by` so for
        one at which something has to be done
    """
    if at is None:
        return NO_HOUR
    *before, way = spec.split(" ")
    if way in WAYS:
        spec = " ".join(before)
        at = act_by(at, reader) if way == "by" else deserved(at, reader, up=way == "up")
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


def act_by(at: datetime, reader: Reader) -> datetime:
    """By when something has to be done, as every page and notice tells it: the last hour of work
    before it, where that is still ahead."""
    at = deserved(at, reader, up=False)
    if reader.works is None or reader.now is None or _works(at, reader.works, reader):
        return at
    local = reader.clock(at)
    last = datetime.combine(local.date(), reader.works[1], tzinfo=local.tzinfo)
    last -= DAY if last > local else timedelta(0)
    return last if last > reader.now else at


def first_working(at: datetime, reader: Reader) -> datetime | None:
    """The first hour of work after an hour of the night; None within the shop's day."""
    if reader.works is None or _works(at, reader.works, reader):
        return None
    local = reader.clock(at)
    today = datetime.combine(local.date(), reader.works[0], tzinfo=local.tzinfo)
    return today if today > local else today + DAY


def _works(at: datetime, works: tuple[time, time], reader: Reader) -> bool:
    begins, ends = works
    hour = reader.clock(at).time().replace(tzinfo=None)
    return begins <= hour < ends if begins < ends else hour >= begins or hour < ends


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
