"""The raw forecast grid of the National Weather Service: layers of intervals, made hourly.

Equal neighbours of a layer of states are merged, so each layer has its own intervals. Layers of
amounts are not merged: the value is the total of its interval, and is spread over its hours.
"""

from datetime import datetime
from typing import Any

import numpy as np

from models.units import Array
from service.weather import answer
from service.weather import nws_notation as notation
from service.weather.answer import Columns, Frame, finite, objects, part

WHOLE_H = 0.999  # an hour that its intervals cover less than this has no known amount
LAYERS = {
    "air_C": answer.Layer("temperature", answer.CELSIUS),
    "dew_point_C": answer.Layer("dewpoint", answer.CELSIUS),
    "rh_fraction": answer.Layer("relativeHumidity", answer.FRACTION),
    "wind_m_s": answer.Layer("windSpeed", answer.METRES_A_SECOND),
    "cloud_fraction": answer.Layer("skyCover", answer.FRACTION),
    "rain_chance": answer.Layer("probabilityOfPrecipitation", answer.FRACTION),
    "rain_mm": answer.Layer("quantitativePrecipitation", answer.MILLIMETRES, of_a_span=True),
}
Interval = tuple[float, float, float]  # begin and end in hours of the frame, value


def columns(properties: dict[str, Any], frame: Frame, now: datetime, notes: list[str]) -> Columns:
    """Every layer that is understood, on the hours of the frame; what is missing is noted."""
    return {
        ours: _column(part(properties, layer.theirs), layer, frame, now, notes)
        for ours, layer in LAYERS.items()
    }


def _column(
    source: dict[str, Any], layer: answer.Layer, frame: Frame, now: datetime, notes: list[str]
) -> Array:
    values, unit = source.get("values"), source.get("uom")
    factor = notation.factor_of(unit, layer.units)
    if not isinstance(values, list) or not values or factor is None:
        wrong = f"unit {unit!r} is not known, left out" if values else "empty"
        wrong = wrong if isinstance(values, list) else "not in the answer"
        notes.append(f"{layer.theirs}: {wrong}")
        return frame.empty()
    read = [_interval(value, frame, now) for value in objects(values)]
    intervals = sorted(one for one in read if one is not None)
    if bad := len(values) - len(intervals):
        notes.append(f"{layer.theirs}: {bad} of its times cannot be read, left out")
    spread = _amounts if layer.of_a_span else states
    return spread(intervals, frame) * factor[0] + factor[1]


def _interval(value: dict[str, Any], frame: Frame, now: datetime) -> Interval | None:
    span = notation.interval(value.get("validTime"), now)
    if span is None:
        return None
    return frame.place(span[0]), frame.place(span[1]), finite(value.get("value"))


def states(intervals: list[Interval], frame: Frame) -> Array:
    """The value at each whole hour from begin on and before end; of two the later one counts."""
    column = frame.empty()
    for begin, end, value in intervals:
        lo, hi = np.clip(np.ceil((begin, end)), 0, frame.hours).astype(int)
        column[lo:hi] = value
    return column


def _amounts(intervals: list[Interval], frame: Frame) -> Array:
    """Totals spread evenly over their intervals; an hour that is not wholly told is missing."""
    amount, covered = np.zeros(frame.hours), np.zeros(frame.hours)
    nexts = [begin for begin, _, _ in intervals[1:]] + [np.inf]
    for (begin, end, total), following in zip(intervals, nexts, strict=True):
        until = min(end, following)
        lo, hi = np.clip((np.floor(begin), np.ceil(until)), 0, frame.hours).astype(int)
        hour = np.arange(lo, hi)
        overlap_h = np.minimum(hour + 1, until) - np.maximum(hour, begin)
        amount[lo:hi] += overlap_h * total / (end - begin)
        covered[lo:hi] += overlap_h
    return np.where(covered >= WHOLE_H, amount, np.nan)
