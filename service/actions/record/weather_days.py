"""The weather of a pour by day: coldest and warmest air at the piece, rain outside."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from models.air.series import HOUR, AirSeries
from models.errors import Unknown
from service.answers import ConcreteResponse


@dataclass(frozen=True)
class Day:
    """One day of the place. `hours` says how many of it are known; rain None: not told."""

    date: date
    low_C: float
    high_C: float
    rain_mm: float | None
    hours: int


def days_of(
    concrete: ConcreteResponse | None,
    air: AirSeries | Unknown | None,
    zone: ZoneInfo,
    until: datetime,
) -> list[Day]:
    """Days from placing to `until`, middle values of the air as it was reckoned at the piece."""
    if concrete is None:
        return []
    begin, end = concrete.time[0], min(concrete.time[-1], until)
    at_piece = np.array(concrete.air_C.p50, dtype=np.float64)  # a null becomes NaN
    out = []
    day = begin.astimezone(zone).date()
    while datetime.combine(day, time.min, tzinfo=zone) <= end:
        first = max(begin, datetime.combine(day, time.min, tzinfo=zone))
        last = min(end, datetime.combine(day + timedelta(days=1), time.min, tzinfo=zone))
        span = at_piece[_row(first, begin) : max(_row(last, begin), _row(first, begin) + 1)]
        known = span[np.isfinite(span)]
        if len(known):
            out.append(
                Day(
                    day,
                    round(float(known.min()), 1),
                    round(float(known.max()), 1),
                    _rain(air, first, last),
                    len(known),
                )
            )
        day += timedelta(days=1)
    return out


def _row(at: datetime, begin: datetime) -> int:
    return int(np.ceil((at - begin) / HOUR))


def _rain(air: AirSeries | Unknown | None, first: datetime, last: datetime) -> float | None:
    if air is None or isinstance(air, Unknown):
        return None
    rows = air.rain_mm[max(0, round(air.hour_of(first))) : max(0, round(air.hour_of(last)))]
    known = rows[np.isfinite(rows)]
    return round(float(known.sum()), 1) if len(known) else None
