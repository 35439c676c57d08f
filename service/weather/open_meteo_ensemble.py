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
from models.instants import aware
from models.units import Array
from service.weather import quality
from service.weather.answer import refused, wire_point
from service.weather.health import Watch
from service.weather.http import Caller
from service.weather.in_flight import InFlight
from service.weather.open_meteo import ATTRIBUTION, LAYERS, NAME, Endpoint, column_of, sections
from service.weather.provider import Provider

NAME_OF_ENSEMBLE = f"{NAME} ensemble"
BASE_URL = "https://ensemble-api.open-meteo.com"
DAYS = 10  # as far as the finest global ones go
EVERY = timedelta(hours=6)  # models run no more often; a call weighs as much as 15 others and more
PAUSE = timedelta(hours=1)  # after an ensemble that could not be had
TOO_OLD = timedelta(hours=24)
COLUMNS = ("air_C", "dew_point_C", "wind_m_s", "rain_mm", "cloud_fraction")
MODEL = re.compile(r"[a-z0-9_]{1,60}")
Point = tuple[str, str]  # latitude and longitude as asked with
MEMBER = re.compile(r"(?:_member(?P<number>\d{1,3}))?(?:_(?P<model>[a-z0-9_]+))?")

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class EnsembleForecast:
    """The members, hourly from `start` on, as fetched at an instant.

    lacks : what was asked for and is not there, in words; empty when all is
    """

    start: datetime
    members: Ensemble
    fetched_at: datetime
    lacks: str = ""


@dataclass(frozen=True)
class _Cached:
    """The last ensemble of a point, None before there was one, and when to ask anew."""

    ensemble: EnsembleForecast | None
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
        watch: Watch | None = None,
        key: str = "",
    ) -> None:
        self._forecasts = forecasts
        self._models = models_of(models)
        self._endpoint = Endpoint(caller, base_url, "/v1/ensemble", key, "ensemble_url", NAME)
        self._watch = watch or Watch(NAME_OF_ENSEMBLE, "")
        self._cache: dict[Point, _Cached] = {}
        self._in_flight: InFlight[EnsembleForecast] = InFlight()

    @property
    def name(self) -> str:
        return self._forecasts.name

    @property
    def attribution(self) -> str:
        """Both credits, each once."""
        return "; ".join(dict.fromkeys((self._forecasts.attribution, ATTRIBUTION)))

    def forecast(
        self, latitude: float, longitude: float, now: datetime, altitude_m: float | None = None
    ) -> AirSeries:
        """The forecast as its service gives it, with members when they can be had."""
        air = self._forecasts.forecast(latitude, longitude, now, altitude_m)
        return self._beside(air, wire_point(latitude, longitude), aware("now", now))

    def _beside(self, air: AirSeries, point: Point, now: datetime) -> AirSeries:
        """With the members of this point, asked for anew when they are due, unless too old."""
        cached = self._cache.get(point)
        if cached is None or now >= cached.again_at:
            cached = self._refreshed(point, now, cached.ensemble if cached else None)
            recent = {p: k for p, k in self._cache.items() if now - k.again_at < TOO_OLD}
            self._cache = {**recent, point: cached}
        ensemble = cached.ensemble
        if ensemble is None or now - ensemble.fetched_at >= TOO_OLD:
            return air
        return beside(air, ensemble)

    def _refreshed(self, point: Point, now: datetime, before: EnsembleForecast | None) -> _Cached:
        try:
            ensemble = self._in_flight.ask(point, lambda: self._ask(point, now))
        except WeatherUnavailable as error:
            log.warning("no ensemble at %s, %s: %s", *point, error)
            later = timedelta(seconds=error.retry_after_s or 0.0)
            return _Cached(before, now + max(PAUSE, later))
        return _Cached(ensemble, now + EVERY)

    def _ask(self, point: Point, now: datetime) -> EnsembleForecast:
        question = {"models": ",".join(self._models), "forecast_days": str(DAYS)}

        def fetched() -> tuple[EnsembleForecast, list[str]]:
            document, _ = self._endpoint.get(point, COLUMNS, question, now)
            return read(document, self._models, now)

        place = float(point[0]), float(point[1])
        ensemble, notes = self._watch.through(place, now, fetched)
        for note in notes:
            log.warning("ensemble at %s, %s: %s", *point, note)
        self._watch.remark(ensemble.lacks)
        return ensemble


def models_of(text: str) -> tuple[str, ...]:
    """Names of models between commas, each once; InputError for what cannot be a name."""
    names = tuple(dict.fromkeys(name.strip() for name in text.split(",")))
    for name in names:
        if not MODEL.fullmatch(name):
            wrong = f"{name!r} cannot be the name of a model"
            allowed = "names with commas, as ncep_gefs025,ecmwf_ifs025_ensemble"
            raise InputError("ensemble_models", text, wrong, allowed)
    return names


def beside(air: AirSeries, ensemble: EnsembleForecast) -> AirSeries:
    """The forecast with the members on its own hours, and their spread where it tells none."""
    first = round((air.start - ensemble.start) / HOUR)
    members = ensemble.members.rows(first, first + air.hours)
    spread_K = np.where(np.isnan(air.spread_K), members.spread_K(), air.spread_K)
    return replace(air, ensemble=members, spread_K=spread_K)


def read(
    document: dict[str, Any], models: Sequence[str], fetched_at: datetime
) -> tuple[EnsembleForecast, list[str]]:
    """The members of an answer, and what was left out of it, in words.

    Raises WeatherUnavailable when no member has an air temperature.
    """
    hourly, units, start, rows = sections(document)
    suffixes = members_in(hourly)
    notes: list[str] = []
    columns: dict[str, list[Array]] = {name: [] for name in COLUMNS}
    for suffix in suffixes:
        for name in COLUMNS:
            columns[name].append(column_of(hourly, units, name, suffix, rows, notes))
        _made_possible(columns)
    speak = [k for k, air_C in enumerate(columns["air_C"]) if np.isfinite(air_C).any()]
    if not speak:
        raise refused(NAME, "; ".join(["no member has an air temperature", *notes[:1]]))
    members = Ensemble(**{n: np.stack([c[k] for k in speak], 1) for n, c in columns.items()})
    lacks = _lacks(models, [suffixes[k] for k in speak], len(suffixes))
    notes = [*_summed_up(notes), lacks] if lacks else _summed_up(notes)
    return EnsembleForecast(start, members, fetched_at, lacks), notes


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


def _lacks(models: Sequence[str], speaking: Sequence[str], columns: int) -> str:
    """What was asked for and does not speak; names differ, so that models are only counted."""
    found = [MEMBER.fullmatch(suffix) for suffix in speaking]
    named = sorted({one["model"] for one in found if one and one["model"]})
    answered = max(len(named), 1)
    lost = []
    if answered < len(models):
        those = f": {', '.join(named)}" if named else ""
        lost.append(f"of {len(models)} models asked for {answered} answered{those}")
    if len(speaking) < columns:
        lost.append(f"{columns - len(speaking)} of {columns} members have no air temperature")
    return "; ".join(lost)


def _made_possible(columns: dict[str, list[Array]]) -> None:
    """The last member without spikes, its dew point nowhere above its air."""
    air_C = quality.without_spikes(columns["air_C"][-1], notes=[])
    none = np.full(air_C.shape, np.nan)
    dew_C = quality.dew_points(air_C, columns["dew_point_C"][-1], none, notes=[])
    columns["air_C"][-1], columns["dew_point_C"][-1] = air_C, dew_C


def _summed_up(notes: list[str]) -> list[str]:
    """One line for what may have gone wrong a hundred times."""
    return [f"{notes[0]}, and {len(notes) - 1} more like it"] if len(notes) > 1 else notes
