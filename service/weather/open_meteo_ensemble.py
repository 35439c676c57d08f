"""Open-Meteo's ensembles: the members of one or more models, laid beside a forecast.

An answer has a column for each variable, member and model: `temperature_2m` is the control run,
`temperature_2m_member01` a member, and with several models the model's name stands behind, which
is often not the one that was asked for (icon_seamless comes as icon_seamless_eps). Which members
there are, and how far each reaches, is read from the answer; what it lacks is told.
"""

import logging
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

import numpy as np

from models.air.ensemble import Ensemble
from models.air.series import HOUR, AirSeries
from models.errors import InputError, WeatherUnavailable
from models.units import Array, aware, number_within
from service.weather import quality
from service.weather.answer import wire_degrees
from service.weather.health import Watch
from service.weather.http import Caller, checked_address
from service.weather.in_flight import InFlight
from service.weather.open_meteo import (
    ATTRIBUTION,
    LAYERS,
    NAME,
    column_of,
    explain,
    key_parameter,
    must_be_near,
    opened,
    refused,
    times_of,
)
from service.weather.provider import ByAltitude, Provider

NAME_OF_ENSEMBLE = f"{NAME} ensemble"
BASE_URL = "https://ensemble-api.open-meteo.com"
DAYS = 10  # as far as the finest global ones go
EVERY = timedelta(hours=6)  # models run no more often; a call weighs as much as 15 others and more
PAUSE = timedelta(hours=1)  # after an ensemble that could not be had
TOO_OLD = timedelta(hours=24)
COLUMNS = ("air_C", "dew_point_C", "wind_m_s", "rain_mm", "cloud_fraction")
MODEL = re.compile(r"[a-z0-9_]{1,60}")
MEMBER = re.compile(r"(?:_member(?P<number>\d{1,3}))?(?:_(?P<model>[a-z0-9_]+))?")

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Served:
    """The members, hourly from `start` on, as fetched at an instant.

    lacks : what was asked for and is not there, in words; empty when all is
    """

    start: datetime
    members: Ensemble
    fetched_at: datetime
    lacks: str = ""


@dataclass(frozen=True)
class _Kept:
    served: Served | None
    again_at: datetime


class WithEnsemble:
    """A forecast service whose answers carry Open-Meteo's members; without them they still come.

    models : names as the service has them today, with commas
    watch : counts the questions and tells how they went; shared by all who ask that service
    """

    def __init__(
        self,
        forecasts: Provider,
        models: str,
        caller: Caller | None = None,
        base_url: str = BASE_URL,
        days: int = DAYS,
        watch: Watch | None = None,
        key: str = "",
    ) -> None:
        self._forecasts = forecasts
        self._models = models_of(models)
        self._caller = caller or Caller()
        self._url = checked_address("ensemble_url", base_url) + "/v1/ensemble"
        self._days = int(number_within("days", days, 1, 36, "days"))
        self._key = key_parameter(key)
        self._watch = watch or Watch(NAME_OF_ENSEMBLE, "")
        self._kept: dict[tuple[str, str], _Kept] = {}
        self._in_flight: InFlight[Served] = InFlight()

    @property
    def name(self) -> str:
        return self._forecasts.name

    @property
    def attribution(self) -> str:
        """Both credits, each once."""
        return "; ".join(dict.fromkeys((self._forecasts.attribution, ATTRIBUTION)))

    def forecast(self, latitude: float, longitude: float, now: datetime) -> AirSeries:
        """The forecast as its service gives it, with members when they can be had."""
        air = self._forecasts.forecast(latitude, longitude, now)
        return self._beside(air, now, latitude, longitude)

    def forecast_at(
        self, latitude: float, longitude: float, altitude_m: float, now: datetime
    ) -> AirSeries:
        """The same of a service that corrects by altitude; of another as without it."""
        if not isinstance(self._forecasts, ByAltitude):
            return self.forecast(latitude, longitude, now)
        air = self._forecasts.forecast_at(latitude, longitude, altitude_m, now)
        return self._beside(air, now, latitude, longitude)

    def _beside(
        self, air: AirSeries, now: datetime, latitude: float, longitude: float
    ) -> AirSeries:
        served = self._served(wire_degrees(latitude), wire_degrees(longitude), aware("now", now))
        return air if served is None else beside(air, served)

    def _served(self, latitude: str, longitude: str, now: datetime) -> Served | None:
        """The members of this point, asked for anew when they are due; None when too old."""
        point = (latitude, longitude)
        kept = self._kept.get(point)
        if kept is None or now >= kept.again_at:
            kept = self._asked(point, now, kept.served if kept else None)
            fresh = {p: k for p, k in self._kept.items() if now - k.again_at < TOO_OLD}
            self._kept = {**fresh, point: kept}
        served = kept.served
        return served if served and now - served.fetched_at < TOO_OLD else None

    def _asked(self, point: tuple[str, str], now: datetime, before: Served | None) -> _Kept:
        try:
            served = self._in_flight.ask(point, lambda: self._ask(*point, now))
        except WeatherUnavailable as error:
            log.warning("no ensemble at %s, %s: %s", *point, error)
            later = timedelta(seconds=error.retry_after_s or 0.0)
            return _Kept(before, now + max(PAUSE, later))
        return _Kept(served, now + EVERY)

    def _ask(self, latitude: str, longitude: str, now: datetime) -> Served:
        place = float(latitude), float(longitude)
        served = self._watch.through(place, now, lambda: self._fetched(latitude, longitude, now))
        self._watch.remark(served.lacks)
        return served

    def _fetched(self, latitude: str, longitude: str, now: datetime) -> Served:
        parameters = {
            "latitude": latitude,
            "longitude": longitude,
            "hourly": ",".join(LAYERS[name].theirs for name in COLUMNS),
            "models": ",".join(self._models),
            "temperature_unit": "celsius",
            "wind_speed_unit": "ms",
            "precipitation_unit": "mm",
            "timeformat": "iso8601",
            "timezone": "GMT",
            "forecast_days": str(self._days),
            **self._key,
        }
        raw = self._caller.get_copy(NAME, self._url, parameters, now, explain).body
        document = opened(raw)
        must_be_near(document, float(latitude), float(longitude))
        served, notes = _read(document, self._models, now)
        for note in notes:
            log.warning("ensemble at %s, %s: %s", latitude, longitude, note)
        return served


def models_of(text: str) -> tuple[str, ...]:
    """Names of models between commas, each once; InputError for what cannot be a name."""
    names = tuple(dict.fromkeys(name.strip() for name in text.split(",")))
    for name in names:
        if not MODEL.fullmatch(name):
            raise InputError(
                "ensemble_models",
                text,
                f"{name!r} cannot be the name of a model",
                "names with commas, as ncep_gefs025,ecmwf_ifs025_ensemble",
            )
    return names


def parse(raw: bytes, models: str, fetched_at: datetime) -> Served:
    """An answer as the service sends it, read; raises WeatherUnavailable when it has no members."""
    return _read(opened(raw), models_of(models), aware("fetched_at", fetched_at))[0]


def beside(air: AirSeries, served: Served) -> AirSeries:
    """The forecast with the members on its own hours, and their spread where it tells none."""
    first = round((air.start - served.start) / HOUR)
    members = served.members.rows(first, first + air.hours)
    told = np.where(np.isnan(air.spread_K), members.spread_K(), air.spread_K)
    return replace(air, ensemble=members, spread_K=told)


def _read(
    document: dict[str, Any], models: Sequence[str], fetched_at: datetime
) -> tuple[Served, list[str]]:
    hourly, units = document.get("hourly"), document.get("hourly_units")
    if not isinstance(hourly, dict) or not isinstance(units, dict):
        raise refused("the answer has no hourly section with units")
    times = times_of(hourly.get("time"), units.get("time"), document)
    rows = np.array([round((at - times[0]) / HOUR) for at in times])
    suffixes = members_in(hourly)
    notes: list[str] = []
    columns: dict[str, list[Array]] = {name: [] for name in COLUMNS}
    for suffix in suffixes:
        for name in COLUMNS:
            column, said = column_of(hourly, units, name, suffix, rows)
            columns[name].append(column)
            notes += said
        _made_possible(columns)
    speak = [k for k, air_C in enumerate(columns["air_C"]) if np.isfinite(air_C).any()]
    if not speak:
        raise refused("; ".join(["no member has an air temperature", *notes[:1]]))
    members = Ensemble(**{n: np.stack([c[k] for k in speak], 1) for n, c in columns.items()})
    lacks = _lacks(models, [suffixes[k] for k in speak], len(suffixes))
    return Served(times[0], members, fetched_at, lacks), _summed_up(notes) + [lacks] * bool(lacks)


def members_in(hourly: dict[str, Any]) -> list[str]:
    """What stands behind the variable's name for each member that has an air temperature.

    Names of variables and of models hold underscores and digits themselves, so the variable is
    taken off first; a model is what has numbered members, and a spread or a maximum has none.
    """
    variable = LAYERS["air_C"].theirs
    suffixes = [key.removeprefix(variable) for key in hourly if key.startswith(variable)]
    found = [match for suffix in suffixes if (match := MEMBER.fullmatch(suffix))]
    models = {match["model"] for match in found if match["number"]} | {None}
    return [match[0] for match in found if match["model"] in models]


def _lacks(models: Sequence[str], told: Sequence[str], columns: int) -> str:
    """What was asked for and does not speak; names differ, so that models are only counted."""
    found = [MEMBER.fullmatch(suffix) for suffix in told]
    named = sorted({one["model"] for one in found if one and one["model"]})
    answered = max(len(named), 1)
    lost = []
    if answered < len(models):
        those = f": {', '.join(named)}" if named else ""
        lost.append(f"of {len(models)} models asked for {answered} answered{those}")
    if len(told) < columns:
        lost.append(f"{columns - len(told)} of {columns} members have no air temperature")
    return "; ".join(lost)


def _made_possible(columns: dict[str, list[Array]]) -> None:
    """The last member without spikes, its dew point nowhere above its air."""
    air_C, _ = quality.without_spikes(columns["air_C"][-1])
    dew_C, _ = quality.dew_points(air_C, columns["dew_point_C"][-1], np.full(air_C.shape, np.nan))
    columns["air_C"][-1], columns["dew_point_C"][-1] = air_C, dew_C


def _summed_up(notes: list[str]) -> list[str]:
    """One line for what may have gone wrong a hundred times."""
    if not notes:
        return []
    return [f"{notes[0]}" + (f", and {len(notes) - 1} more like it" if len(notes) > 1 else "")]
