"""The US National Weather Service: its forecast grid for a point, stations nearby, alerts.

A point leads to a cell of an office's grid. The grid gives the coming week; where it lacks
temperatures the hourly text forecast fills in, and what a station has measured replaces what the
office has analysed. Links are followed on the configured base address only.
"""

import logging
import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import httpx
import numpy as np

from models.air.series import HOUR, AirSeries
from models.errors import WeatherUnavailable
from models.units import aware, number_within
from service.weather import answer, nws_alerts, nws_grid, nws_hourly, nws_observations
from service.weather.answer import Columns, Frame
from service.weather.http import Caller, Patience, checked_address
from service.weather.in_flight import InFlight
from service.weather.nws_problem import ANOTHER_FORM, OUTSIDE, Problem
from service.weather.provider import WeatherAlert

NAME = "National Weather Service"
ATTRIBUTION = "National Weather Service (NOAA)"
BASE_URL = "https://api.weather.gov"
ACCEPT = "application/geo+json"  # without it the network in front has served days-old copies
OBSERVED_H = 72  # how far back stations are asked
AHEAD_H = 240
STATIONS = 3
MOST_REPORTS = 500
FAR_STATION_KM = 40.0
OTHER_HEIGHT_M = 200.0  # a station further up or down has another climate
WHOLE_S = 90.0  # one forecast, which is up to eight questions
OBSERVED_WITHIN_S = 20.0  # the forecast does not wait for the past
QUICK_RETRY_S = (1.0,)
MAPPING_KEPT = timedelta(days=3)  # of a point to its cell, which hardly ever changes
WITHOUT_STATIONS_KEPT = timedelta(hours=1)  # their list could not be had
KM_PER_DEGREE = 111.2

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class _Station:
    key: str
    km: float


@dataclass(frozen=True)
class _Cell:
    """Where the forecast of a point is kept: paths on the service."""

    name: str  # office/x,y
    grid: str
    hourly: str
    stations: tuple[_Station, ...]
    kept_until: datetime


class Nws:
    """The forecast service of that name, or one's own server of the same shape."""

    name = NAME
    attribution = ATTRIBUTION

    def __init__(self, caller: Caller | None = None, base_url: str = BASE_URL) -> None:
        self._caller = caller or Caller()
        self._base = checked_address("base_url", base_url)
        self._cells: dict[tuple[str, str], _Cell] = {}
        self._in_flight: InFlight[AirSeries] = InFlight()

    def forecast(self, latitude: float, longitude: float, now: datetime) -> AirSeries:
        """Three days of observations and the coming week; WeatherUnavailable without an answer."""
        point, asked_at = _point(latitude, longitude), aware("now", now)
        return self._in_flight.ask(point, lambda: self._forecast(point, asked_at))

    def alerts(self, latitude: float, longitude: float, now: datetime) -> tuple[WeatherAlert, ...]:
        """Official alerts for the point that are not over at `now`, the soonest first."""
        point, asked_at = _point(latitude, longitude), aware("now", now)
        errand = self._caller.patience()
        told = self._get("/alerts/active", asked_at, errand, {"point": ",".join(point)})
        if not isinstance(told.get("features"), list):
            raise answer.refused(NAME, "the answer has no list of alerts")
        return nws_alerts.read(told, asked_at)

    def _forecast(self, point: tuple[str, str], now: datetime) -> AirSeries:
        errand = self._caller.patience(WHOLE_S)
        cell = self._cell(point, now, errand)
        frame = Frame.around(now, OBSERVED_H, AHEAD_H)
        notes: list[str] = []
        told, issued_at, height_m = self._grid(point, cell, frame, now, notes, errand)
        observed = self._observed(cell, frame, now, height_m, notes)
        if observed is not None:
            told = nws_observations.over(told, observed)
        series, said = answer.air_series(NAME, frame, told, issued_at, now)
        answer.must_be_in_its_units(NAME, said)
        for note in notes + said:
            log.warning("%s at %s: %s", NAME, ", ".join(point), note)
        return series

    # --- where a point belongs -----------------------------------------------------------------

    def _cell(self, point: tuple[str, str], now: datetime, errand: Patience) -> _Cell:
        known = self._cells.get(point)
        if known is None or not now < known.kept_until <= now + MAPPING_KEPT:
            known = self._cells[point] = self._looked_up(point, now, errand)
        return known

    def _looked_up(self, point: tuple[str, str], now: datetime, errand: Patience) -> _Cell:
        told = self._get(f"/points/{','.join(point)}", now, errand.anew())
        properties = _properties(told)
        if properties.get("type") == "marine":
            raise WeatherUnavailable(NAME, "the place lies on water; move its pin", None)
        grid = self._path(properties.get("forecastGridData"), r"/gridpoints/(\w{3,4}/\d+,\d+)")
        name = grid.removeprefix("/gridpoints/")
        stations = self._stations(grid, point, now, errand)
        kept_until = now + (MAPPING_KEPT if stations else WITHOUT_STATIONS_KEPT)
        return _Cell(name, grid, f"{grid}/forecast/hourly", stations, kept_until)

    def _path(self, link: object, pattern: str) -> str:
        """The path of a link of theirs, for our base address; links to others are refused."""
        try:
            url = httpx.URL(link) if isinstance(link, str) else httpx.URL()
        except httpx.InvalidURL:
            url = httpx.URL()
        ours = {httpx.URL(address).host for address in (BASE_URL, self._base)}
        if url.host not in ours:
            raise answer.refused(NAME, f"a link to another host ({url.host[:100]!r})")
        if not re.fullmatch(pattern, url.path):
            raise answer.refused(NAME, f"a link that leads nowhere we know ({url.path[:100]!r})")
        return url.path

    def _stations(
        self, grid: str, point: tuple[str, str], now: datetime, errand: Patience
    ) -> tuple[_Station, ...]:
        """The nearest ones; none when the list cannot be had, since a forecast does not need it."""
        try:
            told = self._get(f"{grid}/stations", now, errand.anew(), {"limit": str(STATIONS)})
        except WeatherUnavailable as error:
            log.warning("%s at %s: stations: %s", NAME, ", ".join(point), error.reason)
            return ()
        features = told.get("features")
        found = [_station(one, point) for one in (features if isinstance(features, list) else [])]
        return tuple(one for one in found if one is not None)[:STATIONS]

    # --- the forecast -----------------------------------------------------------------------------

    def _grid(
        self,
        point: tuple[str, str],
        cell: _Cell,
        frame: Frame,
        now: datetime,
        notes: list[str],
        errand: Patience,
    ) -> tuple[Columns, datetime, float]:
        """Columns of the grid, filled from the text forecast; when made; and the cell's height."""
        problem = Problem()
        try:
            properties = _properties(self._get(cell.grid, now, errand.anew(), problem=problem))
        except WeatherUnavailable as error:
            if problem.kind == "NotFound" or problem.kind in OUTSIDE:
                self._cells.pop(point, None)  # grids have been redrawn before
            if problem.kind not in ANOTHER_FORM:
                raise
            notes.append(f"grid: {error.reason}; hourly text forecast in its place")
            told, issued_at = self._hourly(cell, frame, now, notes, errand)
            return told, issued_at, np.nan
        _must_be_of(cell, properties)
        issued_at = answer.issued(NAME, properties.get("updateTime"), now)
        told, said = nws_grid.columns(properties, frame, now)
        notes += said
        if _lacks(told, frame, now):
            told, issued_at = self._filled(cell, told, issued_at, frame, now, notes, errand)
        return told, issued_at, nws_observations.height_m(properties)

    def _filled(
        self,
        cell: _Cell,
        told: Columns,
        made: datetime,
        frame: Frame,
        now: datetime,
        notes: list[str],
        errand: Patience,
    ) -> tuple[Columns, datetime]:
        try:
            text, text_made = self._hourly(cell, frame, now, notes, errand)
        except WeatherUnavailable as error:
            notes.append(f"hourly text forecast: {error.reason}")
            return told, made
        notes.append("hours that the grid lacks are from the hourly text forecast")
        filled = {
            name: np.where(np.isnan(column), text.get(name, column), column)
            for name, column in told.items()
        }
        return filled, min(made, text_made)

    def _hourly(
        self, cell: _Cell, frame: Frame, now: datetime, notes: list[str], errand: Patience
    ) -> tuple[Columns, datetime]:
        properties = _properties(self._get(cell.hourly, now, errand.anew(), {"units": "si"}))
        issued_at = answer.issued(NAME, properties.get("updateTime"), now)
        told, said = nws_hourly.columns(properties, frame)
        notes += said
        empty = {name: frame.empty() for name in nws_grid.LAYERS}
        return empty | told, issued_at

    # --- what was measured ------------------------------------------------------------------------

    def _observed(
        self, cell: _Cell, frame: Frame, now: datetime, height_m: float, notes: list[str]
    ) -> Columns | None:
        """Of the nearest station that has temperatures, is near enough and about as high.

        One that fails is not waited for: one quick retry in all, then the next station.
        """
        quick = self._caller.patience(OBSERVED_WITHIN_S, QUICK_RETRY_S)
        since = frame.start - HOUR  # the report before an hour may be the one that is near to it
        window = {"start": f"{since:%Y-%m-%dT%H:%M:%SZ}", "limit": str(MOST_REPORTS)}
        for station in cell.stations:
            if station.km > FAR_STATION_KM:
                notes.append(f"station {station.key}: {station.km:.0f} km away, not used")
                continue
            try:
                told = self._get(f"/stations/{station.key}/observations", now, quick, window)
            except WeatherUnavailable as error:
                notes.append(f"station {station.key}: {error.reason}")
                continue
            reports = nws_observations.read(told, frame, now)
            if abs(reports.elevation_m - height_m) > OTHER_HEIGHT_M:
                notes.append(f"station {station.key}: another height, not used")
            elif reports.with_temperature:
                return nws_observations.hourly(reports, frame, now)
            else:
                notes.append(f"station {station.key}: no temperature reported")
        return None

    def _get(
        self,
        path: str,
        now: datetime,
        patience: Patience,
        parameters: dict[str, str] | None = None,
        problem: Problem | None = None,
    ) -> dict[str, Any]:
        explain = (problem or Problem()).explain
        raw = self._caller.get_copy(
            NAME, self._base + path, parameters or {}, now, explain, ACCEPT, patience
        ).body
        return answer.document(NAME, raw)


def _point(latitude: float, longitude: float) -> tuple[str, str]:
    north = number_within("latitude", latitude, -90.0, 90.0, "degrees")
    east = number_within("longitude", longitude, -180.0, 180.0, "degrees")
    return answer.wire_degrees(north), answer.wire_degrees(east)


def _properties(told: dict[str, Any]) -> dict[str, Any]:
    properties = told.get("properties")
    if not isinstance(properties, dict):
        raise answer.refused(NAME, "the answer has no properties")
    return properties


def _must_be_of(cell: _Cell, properties: dict[str, Any]) -> None:
    """Weather of another cell is worse than none; x and y come as numbers or as text, also 0."""
    told = [properties.get(name) for name in ("gridId", "gridX", "gridY")]
    if any(part is None for part in told):
        return
    name = f"{told[0]}/{told[1]},{told[2]}"
    if name != cell.name:
        raise answer.refused(NAME, f"the answer is for {name[:40]!r}, not {cell.name}")


def _lacks(told: Columns, frame: Frame, now: datetime) -> bool:
    """Whether a temperature or its moisture is missing in the day to come."""
    first = int(np.ceil(frame.place(now)))
    ahead = slice(first, first + answer.LEAST_FUTURE_H)
    moist = np.isfinite(told["dew_point_C"]) | np.isfinite(told["rh_fraction"])
    return not bool((np.isfinite(told["air_C"]) & moist)[ahead].all())


def _station(feature: object, point: tuple[str, str]) -> _Station | None:
    row = feature.get("properties") if isinstance(feature, dict) else None
    key = row.get("stationIdentifier") if isinstance(row, dict) else None
    if not isinstance(feature, dict) or not isinstance(key, str):
        return None
    if not re.fullmatch(r"\w{3,10}", key, re.ASCII):
        return None
    shape = feature.get("geometry")
    at = shape.get("coordinates") if isinstance(shape, dict) else None
    if not isinstance(at, list) or len(at) < 2:
        return _Station(key, np.nan)
    return _Station(key, _km(point, north=answer.finite(at[1]), east=answer.finite(at[0])))


def _km(point: tuple[str, str], north: float, east: float) -> float:
    """Distance on a flat map, near enough for some tens of kilometres; NaN where not told."""
    latitude, longitude = (float(text) for text in point)
    turn = (east - longitude + 180.0) % 360.0 - 180.0
    across = turn * np.cos(np.radians(latitude))
    return float(KM_PER_DEGREE * np.hypot(north - latitude, across))
