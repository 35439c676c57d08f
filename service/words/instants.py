"""Instants as a reader's clock and calendar show them (Babel: names of days and months)."""

from datetime import datetime

from babel.dates import format_datetime

from service.words.reader import Reader

NO_HOUR = "not within the plan"
# by the order of day and month
PATTERNS = {
    "dmy": {"day": "EEE d MMM", "date": "d MMMM yyyy"},
    "mdy": {"day": "EEE MMM d", "date": "MMMM d, yyyy"},
}
JOINED = {"dmy": "{day} {time}", "mdy": "{day}, {time}"}
TIMES = {24: "HH:mm", 12: "h:mm a"}


def instant(at: datetime | None, spec: str, reader: Reader) -> str:
    """`Thu 15 Oct 07:30` on the clock of the place; of a doubled hour with its offset.

    spec : nothing, or one of day, date, time; `near` leaves the day away where it is today
    """
    if at is None:
        return NO_HOUR
    local = reader.clock(at)
    if spec == "near":
        today = reader.now is not None and reader.clock(reader.now).date() == local.date()
        return instant(at, "time", reader) + which(local) if today else instant(at, "", reader)
    if spec == "time":
        # am and pm in small letters in both Englishes
        return format_datetime(local, TIMES[reader.hours], locale=reader.locale).lower()
    if spec:
        return format_datetime(local, PATTERNS[reader.order][spec], locale=reader.locale)
    return on_day(instant(at, "day", reader), at, reader)


def on_day(day: str, at: datetime, reader: Reader) -> str:
    """The hour of an instant after its day, which may be a word as `today`."""
    shown = JOINED[reader.order].format(day=day, time=instant(at, "time", reader))
    return shown + which(reader.clock(at))


def which(local: datetime) -> str:
    """` CDT`, or ` +1030` without letters, of a time that a clock shows twice; else nothing.

    local : an instant taken to its zone, so that it is never in an hour that the clocks leave out
    """
    if local.replace(fold=1 - local.fold).utcoffset() == local.utcoffset():
        return ""
    return f" {local:%Z}" if f"{local:%Z}".isalpha() else f" {local:%z}"
