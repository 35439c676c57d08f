"""Instants, in UTC once read, never guessed, of a plausible year, not ahead; hours of the day."""

from datetime import UTC, datetime, time, timedelta

from models.errors import InputError

INSTANT_EXAMPLE = "ISO 8601 with offset, as 2026-10-14T18:30-05:00"
YEARS = (2000, 2100)
CLOCKS_DIFFER = timedelta(minutes=10)  # a phone's clock may run ahead by this much


def instant(field: str, value: object) -> datetime:
    """An instant in UTC: ISO 8601 text or a time, with its offset and in a plausible year."""
    if isinstance(value, datetime):
        plausible(field, value)
    try:
        at = aware(field, datetime.fromisoformat(value) if isinstance(value, str) else value)
    except InputError:
        raise
    except (ValueError, OverflowError):  # no ISO 8601, or before the first year in UTC
        raise InputError(field, value, "not a time", INSTANT_EXAMPLE) from None
    plausible(field, at)
    return at


def plausible(field: str, at: datetime) -> None:
    """Refuse a year that is a slip of the finger."""
    if not YEARS[0] <= at.year < YEARS[1]:
        allowed = f"{YEARS[0]} to {YEARS[1] - 1}"
        raise InputError(field, at.isoformat(), "not a plausible year", allowed)


def aware(field: str, at: object) -> datetime:
    """An instant in UTC; a time without offset is refused, never guessed."""
    if not isinstance(at, datetime):
        raise InputError(field, at, "not a time", INSTANT_EXAMPLE)
    if at.tzinfo is None or at.utcoffset() is None:
        raise InputError(
            field,
            at.isoformat(),
            "has no offset from UTC",
            INSTANT_EXAMPLE,
        )
    return at.astimezone(UTC)


def quarter(at: datetime) -> datetime:
    """The quarter of an hour at or before, as people keep a deadline or tell a likely hour."""
    return at.replace(minute=at.minute - at.minute % 15, second=0, microsecond=0)


def not_ahead(field: str, at: datetime, now: datetime) -> None:
    """What was seen or done cannot lie in the future."""
    if at > now + CLOCKS_DIFFER:
        raise InputError(
            field, at.isoformat(), "lies in the future", f"a time up to {now.isoformat()}"
        )


def not_before_the_pour(field: str, at: datetime, placed_at: datetime) -> None:
    if at < placed_at:
        raise InputError(
            field, at.isoformat(), "before the pour", f"a time from {placed_at.isoformat()} on"
        )


def within_hours(hours: tuple[time, time], clock: time) -> bool:
    """Whether a time of day lies in hours of the day, which may run over midnight."""
    opens, closes = hours
    return opens <= clock < closes if opens < closes else clock >= opens or clock < closes
