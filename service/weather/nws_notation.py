"""How the National Weather Service writes intervals and numbers with units.

An interval is ISO 8601: start/duration, start/end or duration/end, the word NOW for this moment.
A unit is a code behind a prefix that has changed over the years (`unit:`, `wmoUnit:`); what
stands behind the last colon counts, and a code that is not listed is not understood.
"""

import re
from datetime import datetime, timedelta

import numpy as np

from service.weather.answer import Units, finite, instant

_DURATION = re.compile(
    r"P(?:(?P<weeks>\d+)W)?(?:(?P<days>\d+)D)?"
    r"(?:T(?:(?P<hours>\d+)H)?(?:(?P<minutes>\d+)M)?(?:(?P<seconds>\d+)S)?)?",
    re.ASCII,
)


def factor_of(code: object, units: Units) -> tuple[float, float] | None:
    """Factor and offset that lead to our unit; None where the code is not understood."""
    return units.get(code.rpartition(":")[2]) if isinstance(code, str) else None


def quantity(value: object, units: Units) -> float:
    """{"unitCode": ..., "value": ...} in our unit; NaN where it is null or not understood."""
    if not isinstance(value, dict):
        return np.nan
    factor = factor_of(value.get("unitCode"), units)
    return np.nan if factor is None else finite(value.get("value")) * factor[0] + factor[1]


def interval(text: object, now: datetime) -> tuple[datetime, datetime] | None:
    """First and last moment of an interval in UTC; None where it cannot be read or has no length.

    >>> from datetime import UTC
    >>> now = datetime(2026, 5, 4, tzinfo=UTC)
    >>> begin, end = interval("2026-05-04T06:00:00+00:00/P1DT2H", now)
    >>> (end - begin).total_seconds() / 3600
    26.0
    >>> interval("2026-05-04T06:00:00+00:00/P1M", now) is None
    True
    """
    if not isinstance(text, str) or text.count("/") != 1:
        return None
    first, second = text.split("/")
    begin, end = _moment(first, now), _moment(second, now)
    try:
        if begin is not None and (length := _duration(second)) is not None:
            end = begin + length
        elif end is not None and (length := _duration(first)) is not None:
            begin = end - length
    except OverflowError:
        return None
    if begin is None or end is None or end <= begin:
        return None
    return begin, end


def _moment(text: str, now: datetime) -> datetime | None:
    return now if text == "NOW" else instant(text)


def _duration(text: str) -> timedelta | None:
    """Weeks, days, hours, minutes, seconds; years and months have no one length."""
    found = _DURATION.fullmatch(text)
    if found is None or text.endswith("T") or not any(found.groups()):
        return None
    parts = {name: int(digits) for name, digits in found.groupdict().items() if digits}
    return timedelta(**parts)
