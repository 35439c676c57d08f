"""A typical year from an EPW file, laid over the dates asked for: to plan by, never a forecast.

Each row stands for the hour that ends at its hour (1 to 24) of local standard time, whatever the
year beside it: months of different years are joined. Temperatures and wind are at that end, sun
and rain of the hour before it.
Source: EnergyPlus auxiliary programs, EPW data dictionary.
"""

import math
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from models.air.series import HOUR, NEVER, AirSeries
from models.errors import InputError
from models.instants import aware
from models.units import Array
from service.csv_rows import rows_of
from service.input_file import bytes_of
from service.weather import quality

HEADER = (
    "LOCATION",
    "DESIGN CONDITIONS",
    "TYPICAL/EXTREME PERIODS",
    "GROUND TEMPERATURES",
    "HOLIDAYS/DAYLIGHT SAVING",
    "COMMENTS 1",
    "COMMENTS 2",
    "DATA PERIODS",
)
FIELDS = 35
LARGEST_BYTES = 10_000_000
LEAST_HOURS = 8760
DAYS = np.cumsum([0, 31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])  # of a leap year, by month
FEBRUARY_29 = slice(59 * 24, 60 * 24)
LONGEST = timedelta(days=360)
# our column -> (field from 0, missing from here on, least, most, factor, of the hour before)
COLUMNS: dict[str, tuple[int, float, float, float, float, bool]] = {
    "air_C": (6, 99.9, -60.0, 60.0, 1.0, False),
    "dew_point_C": (7, 99.9, -80.0, 40.0, 1.0, False),
    "rh_fraction": (8, 999.0, 0.0, 110.0, 0.01, False),
    "wind_m_s": (21, 999.0, 0.0, 75.0, 1.0, False),
    "cloud_fraction": (22, 99.0, 0.0, 10.0, 0.1, False),
    "shortwave_W_m2": (13, 9999.0, 0.0, 1500.0, 1.0, True),
    "rain_mm": (33, 999.0, 0.0, 300.0, 1.0, True),
}
RAIN_HOURS = 34  # field: over how many hours the rain was collected
Year = dict[str, Array]  # by hour of a leap year's local standard time, (8784,)


def read(path: Path, begin: datetime, end: datetime, where: str = "") -> AirSeries:
    """The hours from `begin` to `end` as in the file's typical year, marked as such.

    begin, end : aware, at most 360 days apart, rounded outwards to whole hours

    Raises InputError as `file:line: field = value: what is wrong; give what is allowed`.
    """
    name = where or path.name
    first = aware("begin", begin).replace(minute=0, second=0, microsecond=0)
    hours = int(np.ceil((aware("end", end) - first) / HOUR)) + 1
    if not 0 < hours <= LONGEST / HOUR:
        raise InputError("end", end.isoformat(), "too far from the beginning", "up to 360 days on")
    rows = list(rows_of(_text(path, name), ",", name, "an EPW file"))
    place, offset_h = _header(rows, name)
    year = _year(rows[len(HEADER) :], name)
    local_h = np.datetime64(first.replace(tzinfo=None), "h") + np.arange(hours)
    columns: dict[str, Any] = {
        ours: _laid(year[ours], local_h, offset_h - (0.0 if hour_before else 1.0))
        for ours, (*_, hour_before) in COLUMNS.items()
    }
    rh_fraction = np.minimum(columns.pop("rh_fraction"), 1.0)
    rh_fraction = np.where(rh_fraction > 0, rh_fraction, np.nan)
    columns["dew_point_C"] = quality.dew_points(
        columns["air_C"], columns["dew_point_C"], rh_fraction, notes=[]
    )
    return AirSeries(
        start=first,
        issued_at=NEVER,
        source=f"typical year of {place}, no forecast (file {Path(name).name})",
        **columns,
    )


def _text(path: Path, name: str) -> str:
    allowed = f"an EPW file of at most {LARGEST_BYTES // 1_000_000} MB"
    raw = bytes_of(path, name, allowed, LARGEST_BYTES)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("latin-1")  # names of places in older files


def _header(rows: Sequence[tuple[int, list[str]]], name: str) -> tuple[str, float]:
    """The place and how many hours its standard time is ahead of UTC."""
    for k, wanted in enumerate(HEADER):
        text = rows[k][1][0].strip() if k < len(rows) else ""
        if not text.upper().startswith(wanted):
            wrong = f"line {k + 1} of the header must begin with {wanted}"
            raise InputError("header", text[:40], wrong, "the 8 header lines of EPW", name)
    location, periods = rows[0][1], rows[7][1]
    if len(periods) < 3 or periods[2].strip() != "1":
        text = periods[2] if len(periods) > 2 else ""
        raise InputError("records per hour", text, "not hourly", "1", f"{name}:8")
    offset_h = _number(location[8] if len(location) > 8 else "", "time zone", -12, 14, f"{name}:1")
    if offset_h * 4 % 1:
        raise InputError("time zone", offset_h, "not of this world", "quarter hours", f"{name}:1")
    place = "".join(c for c in location[1].strip() if c.isprintable())[:60]
    return place or "a place without name", offset_h


def _year(rows: Sequence[tuple[int, list[str]]], name: str) -> Year:
    table = np.full((len(COLUMNS), 366 * 24), np.nan)
    line_of: dict[int, int] = {}
    for line, cells in rows:
        where = f"{name}:{line}"
        if len(cells) < FIELDS:
            raise InputError("row", f"{len(cells)} fields", "too short", f"{FIELDS} fields", where)
        k = _hour_of_year(cells, where)
        if k in line_of:
            shown = "/".join(cells[1:4])
            raise InputError("hour", shown, f"also in line {line_of[k]}", "each hour once", where)
        line_of[k] = line
        table[:, k] = [_value(ours, cells, where) for ours in COLUMNS]
    if len(line_of) < LEAST_HOURS:
        allowed = f"{LEAST_HOURS} rows, or 8784"
        raise InputError("rows", len(line_of), "not a whole year", allowed, name)
    if FEBRUARY_29.start not in line_of:
        day_before = slice(FEBRUARY_29.start - 24, FEBRUARY_29.start)
        table[:, FEBRUARY_29] = table[:, day_before]
    return dict(zip(COLUMNS, table, strict=True))


def _hour_of_year(cells: Sequence[str], where: str) -> int:
    month = int(_number(cells[1], "month", 1, 12, where))
    length = int(DAYS[month] - DAYS[month - 1])
    day = int(_number(cells[2], "day", 1, length, where))
    hour = int(_number(cells[3], "hour", 1, 24, where))
    return int((DAYS[month - 1] + day - 1) * 24 + hour - 1)


def _value(ours: str, cells: Sequence[str], where: str) -> float:
    at, missing, low, high, factor, _ = COLUMNS[ours]
    if not cells[at].strip():
        return np.nan
    if ours == "rain_mm":
        collected_h = _number(cells[RAIN_HOURS] or "99", "rain hours", 0, 99, where)
        if collected_h not in (0, 1, 99):  # of several hours together, nobody knows which
            return np.nan
    number = _number(cells[at], ours, low, high, where, missing)
    return np.nan if number >= missing else factor * number


def _number(
    text: str, field: str, low: float, high: float, where: str, missing: float = math.inf
) -> float:
    """A number from low to high; from `missing` on, which says that there is none, as it is."""
    try:
        number = float(text)
    except ValueError:
        wrong = "not a number"
    else:
        if low <= number <= high or missing <= number < math.inf:
            return number
        wrong = "outside the allowed range"
    raise InputError(field, text, wrong, f"{low:g} to {high:g}", where)


def _laid(year: Array, utc_h: NDArray[np.datetime64], ahead_h: float) -> Array:
    """A column of the year at hours of UTC, `ahead_h` later by its clock; linear between rows."""
    whole = int(np.floor(ahead_h))
    fraction = ahead_h - whole
    at_hour = year[_index(utc_h + whole)]
    if not fraction:
        return at_hour
    mixed: Array = (1.0 - fraction) * at_hour + fraction * year[_index(utc_h + whole + 1)]
    return mixed


def _index(local_h: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """Where a leap year has these hours: 29 February is passed over in other years."""
    day, years = local_h.astype("M8[D]"), local_h.astype("M8[Y]")
    of_year = (day - years.astype("M8[D]")).astype(np.int64)
    length = ((years + 1).astype("M8[D]") - years.astype("M8[D]")).astype(np.int64)
    of_year += (length == 365) & (of_year >= 59)
    index: NDArray[np.int64] = of_year * 24 + (local_h - day).astype(np.int64)
    return index
