"""The hourly text forecast of the National Weather Service, for hours that its grid lacks.

Its times carry the local offset, so that on the night the clocks go back two hours have one name;
they are told apart by it. Wind is text, "7 mph" or "5 to 10 mph", and the sky is words. It has no
rain amounts: those stay missing.
"""

import re
from typing import Any

import numpy as np

from service.weather import answer
from service.weather import nws_notation as notation
from service.weather.answer import Columns, Frame, finite, instant, objects
from service.weather.nws_grid import states

_WIND = re.compile(r"(\d+(?:\.\d+)?)(?: to (\d+(?:\.\d+)?))? (mph|km/h|kt|m/s)", re.ASCII)
# words -> middle of the opaque cloud that they stand for. Bounds of 5, 25, 50, 69 and 87 % as the
# service's terms are explained in print (wkbn.com, "Is it partly cloudy or partly sunny?"); by day
# the same words stand one step cloudier, as recorded answers show beside their grid's sky cover
SKY = {
    "clear": 0.03,
    "sunny": 0.13,
    "mostly clear": 0.16,
    "mostly sunny": 0.38,
    "partly cloudy": 0.38,
    "partly sunny": 0.60,
    "mostly cloudy": 0.69,
    "cloudy": 0.94,
}
FALLS = re.compile(r"rain|shower|drizzle|snow|sleet|ice|thunder|flurr|wintry|blizzard")
FALLS_FROM = 0.83  # sky cover where something falls: mean of the 130 such hours recorded
COLUMNS = ("air_C", "dew_point_C", "rh_fraction", "wind_m_s", "rain_chance", "cloud_fraction")


def columns(properties: dict[str, Any], frame: Frame, notes: list[str]) -> Columns:
    """Every period on the hours it covers; how many could not be read is noted."""
    periods = properties.get("periods")
    if not isinstance(periods, list):
        notes.append("the hourly text forecast has no periods")
        return {}
    entries = objects(periods)
    spans = [(span, period) for period in entries if (span := _span(period, frame)) is not None]
    read = [(span, _read(period)) for span, period in spans]
    if bad := len(periods) - len(spans):
        notes.append(f"hourly text forecast: {bad} periods cannot be read")
    return {
        ours: states([(*span, values[ours]) for span, values in read], frame) for ours in COLUMNS
    }


def _span(period: dict[str, Any], frame: Frame) -> tuple[float, float] | None:
    begin, end = instant(period.get("startTime")), instant(period.get("endTime"))
    if begin is None or end is None or end <= begin:
        return None
    return frame.place(begin), frame.place(end)


def _read(period: dict[str, Any]) -> dict[str, float]:
    chance = period.get("probabilityOfPrecipitation")
    return {
        "air_C": _temperature(period),
        "dew_point_C": notation.quantity(period.get("dewpoint"), answer.CELSIUS),
        "rh_fraction": notation.quantity(period.get("relativeHumidity"), answer.FRACTION),
        "wind_m_s": _wind(period.get("windSpeed")),
        "rain_chance": notation.quantity(chance, answer.FRACTION),
        "cloud_fraction": _sky(period.get("shortForecast")),
    }


def _sky(value: object) -> float:
    """Sky cover by the words for it, or for what falls from it; smoke or fog tell nothing."""
    words = " ".join(value.lower().split()) if isinstance(value, str) else ""
    words = words.partition(" then ")[0]
    return SKY.get(words, FALLS_FROM if FALLS.search(words) else np.nan)


def _temperature(period: dict[str, Any]) -> float:
    """A bare number with its unit beside it, or, under a feature flag, a number with its code."""
    value = period.get("temperature")
    if isinstance(value, dict):
        return notation.quantity(value, answer.CELSIUS)
    unit = {"F": "degF", "C": "degC"}.get(str(period.get("temperatureUnit")))
    return notation.quantity({"unitCode": unit, "value": value}, answer.CELSIUS)


def _wind(value: object) -> float:
    """The middle of what is told [m/s]."""
    if isinstance(value, dict):
        if "value" in value:
            return notation.quantity(value, answer.METRES_A_SECOND)
        ends = [{**value, "value": finite(value.get(name))} for name in ("minValue", "maxValue")]
        low, high = (notation.quantity(end, answer.METRES_A_SECOND) for end in ends)
        return (low + high) / 2
    found = _WIND.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        return np.nan
    low, high = float(found[1]), float(found[2] or found[1])
    return (low + high) / 2 * answer.METRES_A_SECOND[found[3]][0]
