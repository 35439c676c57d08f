"""AirSeries <-> WeatherRun, and the join of several runs into the air of one place."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from sqlalchemy.orm import defer
from sqlmodel import Session, col, select

from models.air import score, series
from models.air.ensemble import Ensemble
from models.air.score import LeadScore
from models.air.series import AirSeries
from models.errors import Unknown
from models.records import Place, WeatherRun
from models.units import Array, Mask
from service.actions import _members
from service.weather import choose, open_meteo_archive

COLUMNS = (
    "air_C",
    "dew_point_C",
    "wind_m_s",
    "rain_mm",
    "cloud_fraction",
    "shortwave_W_m2",
    "rain_chance",
    "spread_K",
)
HOUR = timedelta(hours=1)
TYPED_YIELDS = timedelta(hours=24)  # a typed night gives way to a service's run not older than this
MEMBERS_COUNT = timedelta(hours=24)  # an ensemble older than this says nothing of a newer run
ALWAYS_TAKEN = 3  # newest runs, so that one may fill the other's gaps
FURTHER_BACK = timedelta(hours=24)
RECORD = open_meteo_archive.NAME  # runs of the past only: they lead no forecast
MOVED = ", before the place was moved"


@dataclass(frozen=True)
class Joined:
    """The air of a place, which run it mostly came from, and what is to be said about it."""

    air: AirSeries | Unknown
    run_id: int | None
    source: str
    issued_at: datetime | None
    warnings: tuple[str, ...] = ()


def run_of(air: AirSeries, place_id: int, now: datetime, *, typed: bool = False) -> WeatherRun:
    """A row that holds every hour of the series."""
    return WeatherRun(
        place_id=place_id,
        provider=air.source,
        typed=typed,
        issued_at=air.issued_at,
        fetched_at=now,
        start_at=air.start,
        hour_count=air.hours,
        hours={
            name: [float(v) if np.isfinite(v) else None for v in getattr(air, name)]
            for name in COLUMNS
            if name != "spread_K" or np.isfinite(air.spread_K).any()
        },
        ensemble=_members.packed(air.ensemble) if air.ensemble else None,
        created_at=now,
    )


def air_of(run: WeatherRun) -> AirSeries:
    """The series a row holds."""
    columns: dict[str, Any] = {name: _column(run, name) for name in COLUMNS}
    columns["ensemble"] = run.ensemble and _members.unpacked(run.ensemble, run.hour_count)
    return AirSeries(start=run.start_at, issued_at=run.issued_at, source=run.provider, **columns)


def joined(session: Session, place: Place, now: datetime, begin: datetime) -> Joined:
    """The newest run of a place and, for hours it lacks, older ones; Unknown when there is none."""
    heads = session.exec(
        select(WeatherRun)
        .where(WeatherRun.place_id == place.id, WeatherRun.fetched_at <= now)
        .options(defer(WeatherRun.hours), defer(WeatherRun.ensemble))  # type: ignore[arg-type]
        .order_by(col(WeatherRun.fetched_at).desc(), col(WeatherRun.id).desc())
    ).all()
    ranked = _ranked(heads, now)
    if not ranked:
        return Joined(_nothing(place), None, "", None)
    chosen = _thinned(ranked, begin)
    session.exec(select(WeatherRun).where(col(WeatherRun.id).in_([run.id for run in chosen]))
                 .execution_options(populate_existing=True)).all()  # fmt: skip
    lead = ranked[0]
    air = _merge(chosen, now)
    if air is None:
        return Joined(_too_old(place, lead, now), None, "", None)
    if not lead.typed:
        air = score.corrected(air, learned_forecast(place))
    return Joined(air, lead.id, air.source, lead.issued_at, _said(lead, now))


def learned_forecast(place: Place) -> list[LeadScore]:
    """What kept forecasts of a place have taught so far."""
    return [LeadScore(**one) for one in place.learned_forecast or ()]  # type: ignore[arg-type]


def by_hand(
    night_low_C: float, day_high_C: float, place: Place, now: datetime, days: int = 3
) -> AirSeries:
    """The air of the coming nights from two typed numbers."""
    return series.from_low_high(night_low_C, day_high_C, local_time(now, place.timezone), days=days)


def local_time(at: datetime, timezone: str) -> datetime:
    return at.astimezone(ZoneInfo(timezone))


def one_a_day(runs: Sequence[tuple[int, int, datetime]]) -> list[int]:
    """Of key, place and time of runs the key of one a day and place, at a clock hour that wanders.

    Kept always at one hour of the day, forecasts twelve hours ahead would all be of the night.
    """
    nearest: dict[tuple[int, object], tuple[float, int]] = {}
    for run_id, place_id, at in runs:
        wanted = at.date().toordinal() * 7 % 24
        off = (abs(at.hour + at.minute / 60 - wanted), -run_id)
        day = (place_id, at.date())
        nearest[day] = min(nearest.get(day, off), off)
    return [-key for _, key in nearest.values()]


def _ranked(heads: Sequence[WeatherRun], now: datetime) -> list[WeatherRun]:
    services = [run for run in heads if not run.typed]
    services.sort(key=lambda run: run.provider.startswith(RECORD))
    fresh = bool(services) and now - services[0].fetched_at <= TYPED_YIELDS
    if not fresh:
        return list(heads)
    return services + [run for run in heads if run.typed]


def _thinned(ranked: list[WeatherRun], begin: datetime) -> list[WeatherRun]:
    """Of runs that overlap the newest; further back one for each day, to the first hour wanted."""
    chosen = list(ranked[:ALWAYS_TAKEN])
    edge = min(run.start_at for run in chosen)
    for run in ranked[ALWAYS_TAKEN:]:
        if edge <= begin:
            break
        if run.typed or run.start_at <= edge - FURTHER_BACK:
            chosen.append(run)
            edge = min(edge, run.start_at)
    earliest = min(ranked, key=lambda run: run.start_at)
    if earliest.start_at < edge:
        chosen.append(earliest)
    return chosen


def _merge(runs: list[WeatherRun], now: datetime) -> AirSeries | None:
    """The first run wins each hour; None when nothing that counts is left.

    Of the others only what they had seen when they were made, and hours still to come: an hour
    in between was a forecast that nobody has checked, and would pass for the past here. Of a
    first run that is too old, too, only what it had seen.
    """
    start = min(run.start_at for run in runs)
    end = max(run.start_at + run.hour_count * HOUR for run in runs)
    hours = round((end - start) / HOUR)
    columns: dict[str, Any] = {name: np.full(hours, np.nan) for name in COLUMNS}
    taken = np.zeros(hours, dtype=bool)
    heard = [runs[0].provider]
    for run in runs:
        first = round((run.start_at - start) / HOUR)
        span = slice(first, first + run.hour_count)
        here = {name: _column(run, name) for name in COLUMNS}
        # temperature and dew point of one hour come from one run, or they may contradict
        counts = _counting(run, now, leads=run is runs[0])
        here = {name: np.where(counts, values, np.nan) for name, values in here.items()}
        whole = np.isfinite(here["air_C"]) & np.isfinite(here["dew_point_C"]) & ~taken[span]
        for name in ("air_C", "dew_point_C"):
            columns[name][span] = np.where(whole, here[name], columns[name][span])
        taken[span] |= whole
        if whole.any() and run.provider not in heard:
            heard.append(run.provider)
        for name in COLUMNS[2:]:
            old = columns[name][span]
            columns[name][span] = np.where(np.isnan(old), here[name], old)
    if not taken.any():
        return None
    columns["ensemble"] = _newest_members(runs, now, start, hours)
    return AirSeries(start=start, issued_at=runs[0].issued_at, source=_named(heard), **columns)


def _named(heard: Sequence[str]) -> str:
    """The lead, and who else was heard for hours that it lacks."""
    others = ", ".join(heard[1:])
    return f"{heard[0]}; hours it lacks from {others}" if others else heard[0]


def _newest_members(
    runs: list[WeatherRun], now: datetime, start: datetime, hours: int
) -> Ensemble | None:
    """The members of the newest run that has any, on these hours; none beside typed weather."""
    if runs[0].typed:
        return None
    for run in runs:
        if run.ensemble and now - run.fetched_at < MEMBERS_COUNT:
            first = round((start - run.start_at) / HOUR)
            return _members.unpacked(run.ensemble, run.hour_count).rows(first, first + hours)
    return None


def _counting(run: WeatherRun, now: datetime, *, leads: bool) -> Mask:
    """Which hours of a run count (hours,)."""
    hour = np.arange(run.hour_count)
    seen = hour < (run.issued_at - run.start_at) / HOUR
    made = run.fetched_at if run.typed else run.issued_at
    if choose.grade(made, now) == "none":
        return seen
    ahead = hour > (now - run.start_at) / HOUR - 1
    return seen | ahead | leads


def _column(run: WeatherRun, name: str) -> Array:
    values = run.hours.get(name)
    if values is None:
        return np.full(run.hour_count, np.nan)
    return np.array([np.nan if v is None else v for v in values], dtype=np.float64)


def _said(lead: WeatherRun, now: datetime) -> tuple[str, ...]:
    if lead.typed:
        return (f"weather {lead.provider}; a forecast or a reading would make this surer",)
    age = now - lead.fetched_at
    if choose.grade(lead.fetched_at, now) == "fresh":
        return ()
    return (f"the forecast is {age / HOUR:.0f} h old: {lead.provider} gave none since",)


def _too_old(place: Place, lead: WeatherRun, now: datetime) -> Unknown:
    age_h = (now - lead.fetched_at) / HOUR
    return Unknown(
        f"the weather at {place.name}",
        f"the last forecast is {age_h:.0f} h old, and none counts after"
        f" {choose.STALE / HOUR:.0f} h",
        "wait for the weather service, or type tonight's low and tomorrow's high",
    )


def _nothing(place: Place) -> Unknown:
    if place.latitude is None:
        return Unknown(
            f"the weather at {place.name}",
            "the place has no latitude and longitude, and nothing was typed",
            "give the place its coordinates, or type tonight's low and tomorrow's high",
        )
    return Unknown(
        f"the weather at {place.name}",
        "no forecast has been fetched yet",
        "wait for the weather service, or type tonight's low and tomorrow's high",
    )
