"""Weather from a CSV file, and back into one: one row an hour, each time with its offset.

    time,air_C,dew_point_C|rh_pct,wind_m_s,rain_mm,cloud_pct|shortwave_W_m2

Either side of a bar will do, and both may stand. Order of columns and rows is free, an empty cell
is a missing value, semicolons with decimal commas are read as well. Instants must be whole hours
of UTC, so +05:30 needs times at half past.

One offset in the whole file is the rule. Two are a sign of files pasted together, where one part
may be an hour out; they are taken only if some time zone of the tz database changes its clocks
just so, between the rows where the file does.
"""

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo, available_timezones

import numpy as np

from models.air.series import HOUR, AirSeries
from models.errors import InputError
from models.instants import aware
from models.units import Array
from service.csv_rows import rows_of
from service.input_file import text_of
from service.weather import quality

LONGEST_DAYS = 800
LARGEST_BYTES = 10_000_000
# column -> (least, most, unit)
COLUMNS = {
    "air_C": (-60.0, 60.0, "degC"),
    "dew_point_C": (-80.0, 40.0, "degC"),
    "rh_pct": (1.0, 100.0, "%"),
    "wind_m_s": (0.0, 75.0, "m/s"),
    "rain_mm": (0.0, 300.0, "mm"),
    "cloud_pct": (0.0, 100.0, "%"),
    "shortwave_W_m2": (0.0, 1500.0, "W/m2"),
    "rain_chance_pct": (0.0, 100.0, "%"),
}
NEEDED = (
    ("time",),
    ("air_C",),
    ("dew_point_C", "rh_pct"),
    ("wind_m_s",),
    ("rain_mm",),
    ("cloud_pct", "shortwave_W_m2"),
)
HEADER = "time,air_C,dew_point_C|rh_pct,wind_m_s,rain_mm,cloud_pct|shortwave_W_m2"
NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?", re.ASCII)
TIME_FORM = "ISO 8601 with offset, as 2026-10-14T18:00-05:00"


@dataclass(frozen=True)
class _Row:
    line: int
    stamp: str
    at: datetime  # with the offset as written
    values: dict[str, float] = field(default_factory=dict)


def read(source: str | Path, where: str = "", issued_at: datetime | None = None) -> AirSeries:
    """Hourly air from CSV text (str) or a CSV file (Path); `where` names it in errors.

    issued_at : when the rows after it were a forecast; without it all rows count as observed

    Raises InputError as `file:line: column = value: what is wrong; give what is allowed`.
    """
    name = where or (str(source) if isinstance(source, Path) else "weather")
    text = _text(source, name)
    rows = sorted(_rows(text, name), key=lambda row: (row.at.astimezone(UTC), row.line))
    _one_time_zone(rows, name)
    rows = _each_hour_once(rows, name)
    start, end = rows[0].at.astimezone(UTC), rows[-1].at.astimezone(UTC)
    if end - start > timedelta(days=LONGEST_DAYS):
        wrong = f"{(end - start).days} days after the first row, {rows[0].stamp}"
        allowed, last = f"at most {LONGEST_DAYS} days of rows", rows[-1]
        raise InputError("time", last.stamp, wrong, allowed, f"{name}:{last.line}")
    column = _columns(rows, start, round((end - start) / HOUR) + 1)
    rh_fraction = column["rh_pct"] / 100.0
    dew_point_C = quality.dew_points(column["air_C"], column["dew_point_C"], rh_fraction, notes=[])
    return AirSeries(
        start=start,
        air_C=column["air_C"],
        dew_point_C=dew_point_C,
        wind_m_s=column["wind_m_s"],
        rain_mm=column["rain_mm"],
        cloud_fraction=column["cloud_pct"] / 100.0,
        shortwave_W_m2=column["shortwave_W_m2"],
        issued_at=end if issued_at is None else aware("issued_at", issued_at),
        source=f"file {Path(name).name}",
        rain_chance=column["rain_chance_pct"] / 100.0,
    )


def write(series: AirSeries) -> str:
    """The series as CSV text in UTC; `read` with its issue time gives the same series again."""
    columns = {
        "air_C": series.air_C,
        "dew_point_C": series.dew_point_C,
        "wind_m_s": series.wind_m_s,
        "rain_mm": series.rain_mm,
        "cloud_pct": 100.0 * series.cloud_fraction,
        "shortwave_W_m2": series.shortwave_W_m2,
    }
    if np.isfinite(series.rain_chance).any():
        columns["rain_chance_pct"] = 100.0 * series.rain_chance
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(["time", *columns])
    for k, at in enumerate(series.times()):
        cells = [float(column[k]) for column in columns.values()]
        stamp = at.isoformat(timespec="minutes")
        table.writerow([stamp, *("" if np.isnan(v) else f"{v:.10g}" for v in cells)])
    return out.getvalue()


def _text(source: str | Path, name: str) -> str:
    allowed = f"a CSV of at most {LARGEST_BYTES // 1_000_000} MB, UTF-8"
    text = text_of(source, name, allowed, LARGEST_BYTES)
    if not text.strip():
        raise InputError("file", text[:20], "empty", f"the columns {HEADER}", name)
    return text


def _rows(text: str, name: str) -> list[_Row]:
    head = text.lstrip().splitlines()[0]
    delimiter = ";" if ";" in head else ","
    header: list[str] | None = None
    rows: list[_Row] = []
    for line, cells in rows_of(text, delimiter, name, HEADER):
        if header is None:
            header = _header(cells, f"{name}:{line}")
            continue
        if len(cells) != len(header):
            wrong = f"{len(cells)} cells where the header has {len(header)}"
            allowed = "one cell a column; decimal commas only between semicolons"
            raise InputError("row", delimiter.join(cells), wrong, allowed, f"{name}:{line}")
        rows.append(_row(dict(zip(header, cells, strict=True)), line, name, delimiter == ";"))
    if not rows:
        raise InputError("file", head, "a header and no rows", "one row an hour", name)
    return rows


def _header(cells: Sequence[str], where: str) -> list[str]:
    for k, cell in enumerate(cells):
        if cell != "time" and cell not in COLUMNS:
            allowed = "one of " + " | ".join(("time", *COLUMNS))
            raise InputError(f"column {k + 1}", cell, "not a known column", allowed, where)
        if cell in cells[:k]:
            raise InputError(f"column {k + 1}", cell, "stands twice", "each column once", where)
    for either in NEEDED:
        if not set(either) & set(cells):
            shown = ",".join(cells)
            raise InputError("header", shown, f"no column {' or '.join(either)}", HEADER, where)
    return list(cells)


def _row(cells: dict[str, str], line: int, name: str, comma: bool) -> _Row:
    where = f"{name}:{line}"
    stamp = cells.pop("time")
    values = {column: _number(column, cell, where, comma) for column, cell in cells.items()}
    air_C, dew_C = values["air_C"], values.get("dew_point_C", np.nan)
    if dew_C > air_C + quality.ROUNDING_K:
        wrong = "a dew point above the air's temperature"
        raise InputError("dew_point_C", dew_C, wrong, f"at most {air_C:g} degC", where)
    return _Row(line, stamp, _time(stamp, where), values)


def _time(stamp: str, where: str) -> datetime:
    try:
        at = datetime.fromisoformat(stamp)
        instant = aware("time", at)
    except InputError as error:
        raise InputError("time", stamp, error.wrong, TIME_FORM, where) from None
    except (ValueError, OverflowError):
        raise InputError("time", stamp, "not a time", TIME_FORM, where) from None
    if instant.minute or instant.second or instant.microsecond:
        wrong = f"not a whole hour of UTC ({instant:%H:%M:%S})"
        raise InputError("time", stamp, wrong, "one row an hour, on whole hours of UTC", where)
    return at


def _number(column: str, cell: str, where: str, comma: bool) -> float:
    low, high, unit = COLUMNS[column]
    allowed = f"{low:g} to {high:g} {unit}, or nothing when it is missing"
    if not cell:
        return np.nan
    plain = cell.replace(",", ".") if comma and cell.count(",") == 1 else cell
    if not NUMBER.fullmatch(plain):
        raise InputError(column, cell, "not a number", allowed, where)
    if not low <= float(plain) <= high:
        raise InputError(column, cell, "outside the allowed range", allowed, where)
    return float(plain)


def _each_hour_once(rows: list[_Row], name: str) -> list[_Row]:
    """Of rows in the order of time: an hour that stands twice and says the same is taken once."""
    unique: list[_Row] = []
    for row in rows:
        if not unique or unique[-1].at != row.at:
            unique.append(row)
            continue
        first = unique[-1]
        for column, value in row.values.items():
            other = first.values[column]
            if value != other and not (np.isnan(value) and np.isnan(other)):
                shown, where = None if np.isnan(value) else value, f"{name}:{row.line}"
                wrong = f"the same hour stands in line {first.line} with {other:g}"
                raise InputError(column, shown, wrong, "one row an hour", where)
    return unique


def _one_time_zone(rows: list[_Row], name: str) -> None:
    """Refuse offsets that no single time zone has at these instants."""
    edges = [rows[0]]
    for before, after in zip(rows, rows[1:], strict=False):
        if before.at.utcoffset() != after.at.utcoffset():
            edges += [before, after]
    if len(edges) == 1:
        return
    edges.append(rows[-1])
    offsets = [(row.at.astimezone(UTC), row.at.utcoffset()) for row in edges]
    if any(all(at.astimezone(zone).utcoffset() == off for at, off in offsets) for zone in _zones()):
        return
    first, *others = sorted(rows, key=lambda row: row.line)
    odd = next(row for row in others if row.at.utcoffset() != first.at.utcoffset())
    other = f"another offset than {first.stamp} in line {first.line}"
    wrong = f"{other}, and no time zone changes its clocks so"
    allowed = "one offset in the whole file, or those of one time zone over a clock change"
    raise InputError("time", odd.stamp, wrong, allowed, f"{name}:{odd.line}")


@cache
def _zones() -> tuple[ZoneInfo, ...]:
    return tuple(ZoneInfo(key) for key in sorted(available_timezones()))


def _columns(rows: list[_Row], start: datetime, hours: int) -> dict[str, Array]:
    columns = {column: np.full(hours, np.nan) for column in COLUMNS}
    for row in rows:
        k = round((row.at - start) / HOUR)
        for column, value in row.values.items():
            columns[column][k] = value
    return columns
