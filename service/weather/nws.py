"""The US National Weather Service: its forecast grid for a point, stations nearby, alerts.

A point leads to a cell of an office's grid. The grid gives the coming week; where it lacks
temperatures the hourly text forecast fills in, and what a station has measured replaces what the
office has analysed. Links are followed on the configured base address only.
"""

import logging
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

import httpx
import numpy as np

from models.air.series import HOUR, AirSeries
from models.errors import WeatherUnavailable
from models.instants import aware
from service.weather import answer, nws_alerts, nws_grid, nws_hourly, nws_observations
from service.weather.answer import Columns, Frame
from service.weather.http import Caller, Patience, checked_address
from service.weather.in_flight import InFlight
from service.weather.nws_problem import ANOTHER_FORM, OUTSIDE, explain
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
CELL_VALID_FOR = timedelta(days=3)  # of a point to its cell, which hardly ever changes
STATIONLESS_VALID_FOR = timedelta(hours=1)  # their list could not be had
KM_PER_DEGREE = 111.2
NO_PARAMETERS: Mapping[str, str] = {}

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class _Station:
    key: str
    km: float  # on a flat map, near enough for some tens of kilometres; NaN where not told


@dataclass(frozen=True)
class _Cell:
    """Where the forecast of a point is kept: paths on the service."""

    name: str  # office/x,y
    grid: str
    stations: tuple[_Station, ...]
    valid_until: datetime


@dataclass(frozen=True)
class _Request:
    """One forecast for one point: when it is asked for, its hours, what is left of the time.

    notes : what was left out or replaced, in words
    """

    point: tuple[str, str]
    now: datetime
    frame: Frame
    patience: Patience
    notes: list[str] = field(default_factory=list)


class Nws:
    """The forecast service of that name, or one's own server of the same shape."""

    name = NAME
    attribution = ATTRIBUTION

    def __init__(self, caller: Caller | None = None, base_url: str = BASE_URL) -> None:
        self._caller = caller or Caller()
        self._base = checked_address("base_url", base_url)
        self._cells: dict[tuple[str, str], _Cell] = {}
        self._in_flight: InFlight[AirSeries] = InFlight()

    def forecast(
        self, latitude: float, longitude: float, now: datetime, altitude_m: float | None = None
    ) -> AirSeries:
        """Three days of observations and the coming week; WeatherUnavailable without an answer."""
        point, requested_at = answer.wire_point(latitude, longitude), aware("now", now)
        return self._in_flight.ask(point, lambda: self._forecast(point, requested_at))

    def alerts(self, latitude: float, longitude: float, now: datetime) -> tuple[WeatherAlert, ...]:
        """Official alerts for the point that are not over at `now`, the soonest first."""
        point, requested_at = answer.wire_point(latitude, longitude), aware("now", now)
        question = {"point": ",".join(point)}
        document = self._get("/alerts/active", requested_at, self._caller.patience(), question)
        if not isinstance(document.get("features"), list):
            raise answer.refused(NAME, "the answer has no list of alerts")
        return nws_alerts.read(document, requested_at)

    def _forecast(self, point: tuple[str, str], now: datetime) -> AirSeries:
        frame = Frame.covering(now, OBSERVED_H, AHEAD_H)
        request = _Request(point, now, frame, self._caller.patience(WHOLE_S))
        cell = self._cell(request)
        columns, issued_at, height_m = self._grid(cell, request)
        observed = self._observed(cell, height_m, request)
        if observed is not None:
            columns = nws_observations.over(columns, observed)
        series = answer.air_series(NAME, frame, columns, issued_at, now, request.notes)
        for note in request.notes:
            log.warning("%s at %s: %s", NAME, ", ".join(point), note)
        return series

    # --- where a point belongs -----------------------------------------------------------------

    def _cell(self, request: _Request) -> _Cell:
        known = self._cells.get(request.point)
        if known is None or not request.now < known.valid_until <= request.now + CELL_VALID_FOR:
            known = self._cells[request.point] = self._looked_up(request)
        return known

    def _looked_up(self, request: _Request) -> _Cell:
        path = f"/points/{','.join(request.point)}"
        properties = answer.properties(NAME, self._requested(path, request))
        if properties.get("type") == "marine":
            raise WeatherUnavailable(NAME, "the place lies on water; move its pin", None)
        grid = self._path(properties.get("forecastGridData"), r"/gridpoints/(\w{3,4}/\d+,\d+)")
        stations = self._stations(grid, request)
        valid_until = request.now + (CELL_VALID_FOR if stations else STATIONLESS_VALID_FOR)
        name = grid.removeprefix("/gridpoints/")
        return _Cell(name, grid, stations, valid_until)

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

    def _stations(self, grid: str, request: _Request) -> tuple[_Station, ...]:
        """The nearest ones; none when the list cannot be had, since a forecast does not need it."""
        path, most = f"{grid}/stations", {"limit": str(STATIONS)}
        try:
            document = self._requested(path, request, most)
        except WeatherUnavailable as error:
            log.warning("%s at %s: stations: %s", NAME, ", ".join(request.point), error.reason)
            return ()
        features = answer.objects(document.get("features"))
        found = [_station(one, request.point) for one in features]
        return tuple(one for one in found if one is not None)[:STATIONS]

    # --- the forecast -----------------------------------------------------------------------------

    def _grid(self, cell: _Cell, request: _Request) -> tuple[Columns, datetime, float]:
        """Columns of the grid, filled from the text forecast; when made; and the cell's height."""
        try:
            properties = answer.properties(NAME, self._requested(cell.grid, request))
        except WeatherUnavailable as error:
            if error.kind == "NotFound" or error.kind in OUTSIDE:
                self._cells.pop(request.point, None)  # grids have been redrawn before
            if error.kind not in ANOTHER_FORM:
                raise
            request.notes.append(f"grid: {error.reason}; hourly text forecast in its place")
            return *self._hourly(cell, request), np.nan
        _must_be_of(cell, properties)
        issued_at = answer.issued(NAME, properties.get("updateTime"), request.now)
        columns = nws_grid.columns(properties, request.frame, request.now, request.notes)
        if _lacks(columns, request.frame, request.now):
            columns, issued_at = self._filled(cell, columns, issued_at, request)
        return columns, issued_at, nws_observations.height_m(properties)

    def _filled(
        self, cell: _Cell, grid: Columns, made: datetime, request: _Request
    ) -> tuple[Columns, datetime]:
        try:
            text, text_made = self._hourly(cell, request)
        except WeatherUnavailable as error:
            request.notes.append(f"hourly text forecast: {error.reason}")
            return grid, made
        request.notes.append("hours that the grid lacks are from the hourly text forecast")
        filled = {
            name: np.where(np.isnan(column), text.get(name, column), column)
            for name, column in grid.items()
        }
        return filled, min(made, text_made)

    def _hourly(self, cell: _Cell, request: _Request) -> tuple[Columns, datetime]:
        document = self._requested(f"{cell.grid}/forecast/hourly", request, {"units": "si"})
        properties = answer.properties(NAME, document)
        issued_at = answer.issued(NAME, properties.get("updateTime"), request.now)
        columns = nws_hourly.columns(properties, request.frame, request.notes)
        empty = {name: request.frame.empty() for name in nws_grid.LAYERS}
        return empty | columns, issued_at

    # --- what was measured ------------------------------------------------------------------------

    def _observed(self, cell: _Cell, height_m: float, request: _Request) -> Columns | None:
        """Of the nearest station that has temperatures, is near enough and about as high.

        One that fails is not waited for: one quick retry in all, then the next station.
        """
        quick = self._caller.patience(OBSERVED_WITHIN_S, QUICK_RETRY_S)
        since = request.frame.start - HOUR  # the report before an hour may be the one near to it
        window = {"start": f"{since:%Y-%m-%dT%H:%M:%SZ}", "limit": str(MOST_REPORTS)}
        for station in cell.stations:
            if station.km > FAR_STATION_KM:
                wrong = f"{station.km:.0f} km away, not used"
            else:
                path = f"/stations/{station.key}/observations"
                try:
                    document = self._get(path, request.now, quick, window)
                except WeatherUnavailable as error:
                    wrong = error.reason
                else:
                    reports = nws_observations.read(document, request.frame, request.now)
                    if abs(reports.elevation_m - height_m) > OTHER_HEIGHT_M:
                        wrong = "another height, not used"
                    elif reports.with_temperature:
                        return nws_observations.hourly(reports, request.frame, request.now)
                    else:
                        wrong = "no temperature reported"
            request.notes.append(f"station {station.key}: {wrong}")
        return None

    def _requested(
        self, path: str, request: _Request, parameters: Mapping[str, str] = NO_PARAMETERS
    ) -> dict[str, Any]:
        return self._get(path, request.now, request.patience.anew(), parameters)

    def _get(
        self,
        path: str,
        now: datetime,
        patience: Patience,
        parameters: Mapping[str, str] = NO_PARAMETERS,
    ) -> dict[str, Any]:
        raw = self._caller.get_copy(
            NAME, self._base + path, parameters, now, explain, ACCEPT, patience
        ).body
        return answer.document(NAME, raw)


def _must_be_of(cell: _Cell, properties: dict[str, Any]) -> None:
    """Weather of another cell is worse than none; x and y come as numbers or as text, also 0."""
    parts = [properties.get(name) for name in ("gridId", "gridX", "gridY")]
    if any(part is None for part in parts):
        return
    name = f"{parts[0]}/{parts[1]},{parts[2]}"
    if name != cell.name:
        raise answer.refused(NAME, f"the answer is for {name[:40]!r}, not {cell.name}")


def _lacks(columns: Columns, frame: Frame, now: datetime) -> bool:
    """Whether a temperature or its moisture is missing in the day to come."""
    first = int(np.ceil(frame.place(now)))
    ahead = slice(first, first + answer.LEAST_FUTURE_H)
    moist = np.isfinite(columns["dew_point_C"]) | np.isfinite(columns["rh_fraction"])
    return not bool((np.isfinite(columns["air_C"]) & moist)[ahead].all())


def _station(feature: dict[str, Any], point: tuple[str, str]) -> _Station | None:
    key = answer.part(feature, "properties").get("stationIdentifier")
    if not isinstance(key, str) or not re.fullmatch(r"\w{3,10}", key, re.ASCII):
        return None
    there = answer.coordinates(feature) or (None, None)
    off = answer.degrees_off(there, (float(point[0]), float(point[1])))
    return _Station(key, KM_PER_DEGREE * float(np.hypot(*off)))
