"""What a weather station has measured, brought to whole hours; it replaces the analysed past.

Lists come in any order, with doubles, nulls and absent keys. A temperature that is null is looked
for in the report itself, whose T-group gives it in tenths of a degree. Rain is not taken: its
keys are absent or null in nearly every record.
"""

import re
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np

from models.air.series import OBSERVED
from models.units import Array
from service.weather import answer, quality
from service.weather import nws_notation as notation
from service.weather.answer import LIMITS, Columns, Frame, instant, objects, part

BELIEVED_H = 40 / 60  # how near a report must be to the hour it stands for
BRIDGED_H = 3.0  # two reports no further apart than this are joined by a straight line
DOUBTED = frozenset("XBQ")  # flags of the quality control: failed, bad, questioned
# amounts of cloud by their definition in eighths, the middle of each; from memory (WMO code 2700)
SKY = {"CLR": 0.0, "SKC": 0.0, "FEW": 1.5 / 8, "SCT": 3.5 / 8, "BKN": 6 / 8, "OVC": 1.0, "VV": 1.0}
PAIRED = ("air_C", "dew_point_C", "rh_fraction")  # one hour's warmth and moisture go together
_T_GROUP = re.compile(r"\bT([01])(\d{3})([01])(\d{3})\b", re.ASCII)


@dataclass(frozen=True)
class Reports:
    """Reports of one station in the order of time, NaN where nothing was told."""

    hour: Array  # hours of the frame
    columns: Columns
    elevation_m: float

    @property
    def with_temperature(self) -> int:
        return int(np.isfinite(self.columns["air_C"]).sum())


def read(document: dict[str, Any], frame: Frame, now: datetime) -> Reports:
    """The reports of an answer, each moment once, none of the future."""
    rows: dict[datetime, dict[str, Any]] = {}
    for row in (part(one, "properties") for one in objects(document.get("features"))):
        if (at := instant(row.get("timestamp"))) is None or at > now:
            continue
        if at not in rows or np.isnan(_of(rows[at])["air_C"]):
            rows[at] = row
    moments = sorted(rows)
    reported = [_of(rows[at]) for at in moments]
    heights = [height_m(rows[at]) for at in moments]
    known = [height for height in heights if np.isfinite(height)]
    return Reports(
        hour=np.array([frame.place(at) for at in moments]),
        columns={
            name: _possible(name, np.array([one[name] for one in reported])) for name in _of({})
        },
        elevation_m=known[0] if known else np.nan,
    )


def _possible(name: str, values: Array) -> Array:
    """The impossible goes before hours are made of it, or its neighbours would have a share."""
    values = quality.within(name, values, *LIMITS[name], notes=[])
    return quality.without_spikes(values, notes=[]) if name == "air_C" else values


def height_m(row: dict[str, Any]) -> float:
    """Height above the sea that a station or a cell of the grid tells [m]; NaN when it does not."""
    return notation.quantity(row.get("elevation"), answer.METRES)


def _of(row: dict[str, Any]) -> dict[str, float]:
    air_C = _measured(row, "temperature", answer.CELSIUS)
    dew_point_C = _measured(row, "dewpoint", answer.CELSIUS)
    group = _T_GROUP.search(str(row.get("rawMessage", "")))
    if group is not None and np.isnan(air_C):
        air_C, dew_point_C = _tenths(group[1], group[2]), _tenths(group[3], group[4])
    return {
        "air_C": air_C,
        "dew_point_C": dew_point_C,
        "rh_fraction": _measured(row, "relativeHumidity", answer.FRACTION),
        "wind_m_s": _measured(row, "windSpeed", answer.METRES_A_SECOND),
        "cloud_fraction": _sky(row.get("cloudLayers")),
    }


def _measured(row: dict[str, Any], name: str, units: answer.Units) -> float:
    value = row.get(name)
    if isinstance(value, dict) and value.get("qualityControl") in DOUBTED:
        return np.nan
    return notation.quantity(value, units)


def _tenths(sign: str, digits: str) -> float:
    return (-1.0 if sign == "1" else 1.0) * int(digits) / 10.0


def _sky(layers: object) -> float:
    """The greatest amount of all layers; nothing told is not a clear sky."""
    amounts = [SKY.get(str(one.get("amount")), np.nan) for one in objects(layers)]
    return max(amounts) if amounts and np.isfinite(amounts).all() else np.nan


def hourly(reports: Reports, frame: Frame, now: datetime) -> Columns:
    """Each whole hour up to now that reports stand near to, or on both sides of."""
    past = np.arange(frame.hours) <= frame.place(now)
    columns = {
        name: np.where(past, _at_hours(reports.hour, values, frame.hours), np.nan)
        for name, values in reports.columns.items()
    }
    pair = np.isfinite(columns["air_C"])
    pair &= np.isfinite(columns["dew_point_C"]) | np.isfinite(columns["rh_fraction"])
    return columns | {name: np.where(pair, columns[name], np.nan) for name in PAIRED}


def _at_hours(hour: Array, values: Array, hours: int) -> Array:
    known = np.isfinite(values)
    at = np.arange(float(hours))
    if not known.any():
        return np.full(hours, np.nan)
    hour, values = hour[known], values[known]
    after = np.searchsorted(hour, at)
    before_h = at - np.concatenate(([-np.inf], hour))[after]
    after_h = np.concatenate((hour, [np.inf]))[after] - at
    good = (np.minimum(before_h, after_h) <= BELIEVED_H) | (before_h + after_h <= BRIDGED_H)
    return np.where(good, np.interp(at, hour, values), np.nan)


def over(analysed: Columns, observed: Columns) -> Columns:
    """What was measured in place of what was analysed; warmth and moisture of one hour together."""
    pair = np.isfinite(observed["air_C"])
    merged = analysed | {"lead_h": np.where(pair, OBSERVED, np.nan)}
    for name, measured in observed.items():
        take = pair if name in PAIRED else np.isfinite(measured)
        merged[name] = np.where(take, measured, analysed[name])
    return merged
