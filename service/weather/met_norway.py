"""MET Norway's Locationforecast 2.0, `complete`: hourly for some days, then every six hours.

Absent keys stand for what is not told; there are no nulls. What a step tells holds at its time;
rain falls in the hours that follow. Between six-hourly steps temperature and dew point run
through monotone cubics, wind and cloud along straight lines, and rain is spread evenly. The lowest
and highest temperature of six hours are told beside the steps: a night's low lies up to 2.3 K under
them in recorded answers, and the curve passes through it.
"""

import logging
import re
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
import scipy
from numpy.typing import NDArray

from models.air.series import HOUR, AirSeries
from models.errors import WeatherUnavailable
from models.instants import aware
from models.units import Array, Mask, number_within
from service.weather import answer
from service.weather.answer import LIMITS, Columns, Frame, in_our_unit, part
from service.weather.http import Caller, Refusal, checked_address
from service.weather.in_flight import InFlight

NAME = "MET Norway"
ATTRIBUTION = "Data from MET Norway (CC BY 4.0)"
BASE_URL = "https://api.met.no"
PATH = "/weatherapi/locationforecast/2.0/complete"
LONGEST_ANSWER_H = 24 * 16
STEP_H = 6  # its coarsest step; across a longer one nothing is interpolated
SD_PER_P10_P90 = 2.563  # from the 10 % to the 90 % point of a normal distribution, in its sd
BETWEEN_STEPS_K = 0.95  # rms error of a monotone cubic between six-hourly values, Newark 2013
# status -> what it means, and seconds until asking again makes sense (None: no use, or soon)
REFUSALS: dict[int, tuple[str, float | None]] = {
    403: ("it refuses us; set a contact of your own (CASTCLOCK_CONTACT)", None),
    422: ("it has no forecast for this place; use another service there", None),
    429: ("too many questions, or it does not know who asks; we stop for an hour", 3600.0),
}


INSTANT = {
    "air_C": answer.Layer("air_temperature", answer.CELSIUS),
    "dew_point_C": answer.Layer("dew_point_temperature", answer.CELSIUS),
    "rh_fraction": answer.Layer("relative_humidity", answer.FRACTION),
    "wind_m_s": answer.Layer("wind_speed", answer.METRES_A_SECOND),
    "cloud_fraction": answer.Layer("cloud_area_fraction", answer.FRACTION),
    "p10_C": answer.Layer("air_temperature_percentile_10", answer.CELSIUS),
    "p90_C": answer.Layer("air_temperature_percentile_90", answer.CELSIUS),
}
SMOOTH = ("air_C", "dew_point_C")
FOLLOWING = {
    "rain_mm": answer.Layer("precipitation_amount", answer.MILLIMETRES, of_a_span=True),
    "rain_chance": answer.Layer("probability_of_precipitation", answer.FRACTION, of_a_span=True),
}
FOLLOWING_H = {"next_1_hours": 1, "next_6_hours": 6}
EXTREMES = {
    "lowest_C": answer.Layer("air_temperature_min", answer.CELSIUS, of_a_span=True),
    "highest_C": answer.Layer("air_temperature_max", answer.CELSIUS, of_a_span=True),
}

log = logging.getLogger(__name__)


class MetNorway:
    """The forecast service of that name, or one's own server of the same shape."""

    name = NAME
    attribution = ATTRIBUTION

    def __init__(self, caller: Caller | None = None, base_url: str = BASE_URL) -> None:
        self._caller = caller or Caller()
        self._url = checked_address("base_url", base_url) + PATH
        self._in_flight: InFlight[AirSeries] = InFlight()

    def forecast(
        self, latitude: float, longitude: float, now: datetime, altitude_m: float | None = None
    ) -> AirSeries:
        """The coming nine days; WeatherUnavailable when there is no usable answer.

        altitude_m : of the place, by which the service corrects its temperatures
        """
        question = dict(zip(("lat", "lon"), answer.wire_point(latitude, longitude), strict=True))
        if altitude_m is not None:
            question["altitude"] = f"{number_within('altitude_m', altitude_m, -500, 9000, 'm'):.0f}"
        requested_at = aware("now", now)
        key = tuple(question.values())
        return self._in_flight.ask(key, lambda: self._ask(question, requested_at))

    def _ask(self, question: dict[str, str], now: datetime) -> AirSeries:
        if not self._caller.contact:
            wrong = "it wants to know who asks; set a contact (CASTCLOCK_CONTACT)"
            raise WeatherUnavailable(NAME, wrong, None)
        raw = self._caller.get_copy(NAME, self._url, question, now, _explain).body
        series, notes = read(raw, now, (float(question["lat"]), float(question["lon"])))
        for note in notes:
            log.warning("%s at %s: %s", NAME, ", ".join(question.values()), note)
        return series


def read(
    raw: bytes, now: datetime, point: tuple[float, float] | None = None
) -> tuple[AirSeries, list[str]]:
    """An answer as the service sends it, and what was left out of it, in words.

    point : north and east that it must be of; None: of any place

    Raises WeatherUnavailable when it cannot serve.
    """
    document = answer.document(NAME, raw)
    there = answer.coordinates(document)
    if point is not None and there is not None:
        answer.must_be_near(NAME, there, point)
    steps = _steps(document)
    issued_at = answer.issued(NAME, part(document, "properties", "meta").get("updated_at"), now)
    columns = {name: steps.hourly(name) for name in INSTANT if not name.startswith("p")}
    dew_C = columns["dew_point_C"]
    columns["dew_point_C"] = np.where(steps.between(), np.minimum(dew_C, columns["air_C"]), dew_C)
    columns |= {name: steps.following(name) for name in FOLLOWING}
    columns["spread_K"] = steps.spread_K()
    notes = steps.notes()
    return answer.air_series(NAME, steps.frame, columns, issued_at, now, notes), notes


@dataclass(frozen=True)
class _Steps:
    """What the steps tell, NaN where they do not.

    at : hour of the frame at which each stands, rising
    instant : by name of INSTANT, at the step
    after : by name of FOLLOWING and hours, of the hours after the step; by name of EXTREMES too
    left_out : what was left out, in words
    """

    frame: Frame
    at: NDArray[np.int_]
    instant: Columns
    after: dict[tuple[str, int], Array]
    left_out: list[str]

    def hourly(self, name: str) -> Array:
        """Between steps no further apart than the coarsest, both of which must tell."""
        values = self.instant[name]
        known = np.isfinite(values)
        if not known.any():
            return self.frame.empty()
        hour = np.arange(self.frame.hours)
        x, y = self.at[known], values[known]
        if name == "air_C":
            x, y = self._with_extremes(x, y)
        if name in SMOOTH and len(x) > 1:
            column = scipy.interpolate.PchipInterpolator(x, y, extrapolate=False)(hour)
        else:
            column = np.interp(hour, x, y, left=np.nan, right=np.nan)
        before, after = self._neighbours(hour)
        reported = known[before] & known[after] & (self.at[after] - self.at[before] <= STEP_H)
        return np.where(reported, column, np.nan)

    def _with_extremes(self, x: NDArray[np.int_], y: Array) -> tuple[NDArray[np.int_], Array]:
        """Knots for what lies under or over both ends of six hours, at whole hours between them.

        Where only one does, it stands as the vertex of the parabola through it and the ends; of
        two the one that the ends turn to first comes after two hours, the other after four.
        """
        more: list[tuple[int, float]] = []
        lowest, highest = self.after["lowest_C", STEP_H], self.after["highest_C", STEP_H]
        for k in np.flatnonzero(np.diff(self.at) == STEP_H):
            begin, end = self.instant["air_C"][k : k + 2]
            low = lowest[k] if lowest[k] < min(begin, end) else np.nan
            high = highest[k] if highest[k] > max(begin, end) else np.nan
            reported = [one for one in (low, high) if np.isfinite(one)]
            if len(reported) == 2:
                first, second = (low, high) if end >= begin else (high, low)
                more += [(self.at[k] + 2, first), (self.at[k] + 4, second)]
            elif reported:
                off = np.sqrt(np.abs(np.array([begin, end]) - reported[0]))
                hour = round(STEP_H * off[0] / off.sum())
                more.append((self.at[k] + min(max(hour, 1), STEP_H - 1), reported[0]))
        if not more:
            return x, y
        x, y = np.append(x, [at for at, _ in more]), np.append(y, [value for _, value in more])
        order = np.argsort(x)
        return x[order], y[order]

    def between(self) -> Mask:
        """Hours between steps that are further apart than one, (hours,)."""
        between = np.ones(self.frame.hours, dtype=bool)
        between[self.at] = False
        before, after = self._neighbours(np.arange(self.frame.hours))
        between &= self.at[after] - self.at[before] > 1
        return between

    def _neighbours(self, hour: NDArray[np.int_]) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
        """The last step not after each hour and the first not before it; past the end the last."""
        last = len(self.at) - 1
        after = np.minimum(np.searchsorted(self.at, hour), last)
        return np.minimum(np.searchsorted(self.at, hour, side="right") - 1, last), after

    def following(self, name: str) -> Array:
        """Of one hour where it is told, else of six: an amount spread, a chance as it is."""
        one, six = self.after[name, 1], self.after[name, 6]
        column = self.frame.empty()
        column[self.at] = one
        for k in np.flatnonzero(np.isfinite(six))[::-1]:  # of two spans the later one counts
            span = column[self.at[k] : self.at[k] + 6]
            missing = np.isnan(span)
            if name == "rain_mm" and missing.any():
                left = max(0.0, float(six[k]) - float(span[~missing].sum()))
                span[missing] = left / missing.sum()
            else:
                span[missing] = six[k]
        return column

    def spread_K(self) -> Array:
        """Standard deviation of the air temperature, (hours,) [K]; NaN without percentiles.

        (p90 - p10) / 2.563; between six-hourly steps with what the monotone cubic misses there.
        """
        spread = (self.hourly("p90_C") - self.hourly("p10_C")) / SD_PER_P10_P90
        spread = np.where(spread >= 0.0, spread, np.nan)
        return np.where(self.between(), np.hypot(spread, BETWEEN_STEPS_K), spread)

    def notes(self) -> list[str]:
        notes = list(self.left_out)
        apart = np.diff(self.at)
        if (apart > 1).any():
            since = self.frame.start + int(self.at[int(np.argmax(apart > 1))]) * HOUR
            notes.append(
                f"from {since.isoformat()} on told every {int(apart.max())} hours: temperature "
                "and dew point are monotone cubics, wind and cloud straight lines, rain is spread"
            )
        return notes


def _steps(document: dict[str, Any]) -> _Steps:
    rows, times = _rows(document)
    at = answer.whole_hours(NAME, times, LONGEST_ANSWER_H)
    units = part(document, "properties", "meta", "units")
    left_out: list[str] = []

    def column(span: str, layer: answer.Layer, low: float, high: float) -> Array:
        """What each step tells, the impossible missing before anything is made of it."""
        if layer.theirs not in units:
            return np.full(len(rows), np.nan)
        reported = [part(row, "data", span, "details").get(layer.theirs) for row in rows]
        unit = units[layer.theirs]
        return in_our_unit(layer.theirs, reported, unit, layer.units, (low, high), left_out)

    instant = {
        name: column("instant", layer, *LIMITS.get(name, LIMITS["air_C"]))
        for name, layer in INSTANT.items()
    }
    after: dict[tuple[str, int], Array] = {}
    for name, layer in FOLLOWING.items():
        for span, hours in FOLLOWING_H.items():
            most = LIMITS[name][1] * (hours if name == "rain_mm" else 1)
            after[name, hours] = column(span, layer, 0.0, most)
    for name, layer in EXTREMES.items():
        after[name, STEP_H] = column("next_6_hours", layer, *LIMITS["air_C"])
    frame = Frame(times[0], int(at[-1]) + 1 + STEP_H)
    return _Steps(frame, at, instant, after, sorted(set(left_out)))


def _rows(document: dict[str, Any]) -> tuple[list[dict[str, Any]], list[datetime]]:
    """The steps and their times."""
    rows = answer.properties(NAME, document).get("timeseries")
    if not isinstance(rows, list) or not rows:
        raise answer.refused(NAME, "the answer has no times")
    times = [answer.instant(row.get("time")) if isinstance(row, dict) else None for row in rows]
    known = [at for at in times if at is not None]
    if len(known) < len(rows):
        raise answer.refused(NAME, "the answer's times cannot be read")
    return rows, known


def _explain(status: int, body: bytes, _: datetime) -> Refusal:
    """Error bodies are text or HTML; only the status counts, and its words are passed on."""
    text = re.sub(
        r"<(style|script).*?</\1>|<[^>]*>", " ", body.decode("utf-8", "replace"), flags=re.S
    )
    words, again_s = REFUSALS.get(status, ("", None))
    return Refusal("; ".join(part for part in (words, " ".join(text.split())) if part), again_s)
