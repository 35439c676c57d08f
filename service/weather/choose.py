"""Which weather counts, how old it is, and when a service may be asked again.

Pure functions over what the caller has stored: no clock, no store, no network here. Whatever is
too old or missing comes out as Unknown, never as weather.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

import numpy as np

from models.air.series import BRIDGED_GAP_H, HOUR, AirSeries
from models.errors import Unknown, WeatherUnavailable
from models.units import Array

Grade = Literal["fresh", "ageing", "stale", "none"]

FRESH = timedelta(hours=6)
AGEING = timedelta(hours=24)
STALE = timedelta(hours=72)
CLOCKS_APART = timedelta(minutes=5)  # two machines' clocks; more is no longer a young forecast

REFRESH = timedelta(minutes=60)
QUICK_FAILURES = 5
AFTER_FAILURE = timedelta(minutes=15)  # sooner than the next refresh: tonight may hang on it
LONGEST_PAUSE = timedelta(hours=6)
WHEN_NO_USE = timedelta(hours=24)  # a refusal that trying again does not mend

LAYERS = (
    "air_C",
    "dew_point_C",
    "wind_m_s",
    "rain_mm",
    "cloud_fraction",
    "shortwave_W_m2",
    "rain_chance",
)
WHAT = "weather"
REMEDY = "refresh it, import a CSV, or type tonight's low and tomorrow's high"


@dataclass(frozen=True)
class Asking:
    """What is remembered about asking one service for one place."""

    failures: int = 0  # in a row
    tried_at: datetime | None = None
    not_before: datetime | None = None
    last_error: str = ""


@dataclass(frozen=True)
class Chosen:
    """The weather that counts, whose it is, and how old."""

    air: AirSeries
    provider: str
    grade: Grade
    age_h: float


def grade(issued_at: datetime, now: datetime) -> Grade:
    """fresh under 6 h, ageing under 24 h, stale under 72 h; beyond that, or of the future, none."""
    age = now - issued_at
    if age < -CLOCKS_APART or age >= STALE:
        return "none"
    if age < FRESH:
        return "fresh"
    return "ageing" if age < AGEING else "stale"


def due(asking: Asking, newest_issued_at: datetime | None, now: datetime) -> bool:
    """Whether a service is to be asked now: its run is old enough, and it has had its rest."""
    if newest_issued_at is not None and timedelta(0) <= now - newest_issued_at < REFRESH:
        return False
    if asking.tried_at is not None and asking.tried_at > now + CLOCKS_APART:
        return True  # the clock was set back: what was noted under the wrong time says nothing
    return asking.not_before is None or now >= asking.not_before


def after_success(now: datetime) -> Asking:
    """One good answer clears the record."""
    return Asking(tried_at=now)


def after_failure(asking: Asking, error: WeatherUnavailable, now: datetime) -> Asking:
    """Rest after a failure: 15 min five times, then doubling to 6 h; longer if the service says."""
    failures = asking.failures + 1
    doublings = max(0, min(failures - QUICK_FAILURES, 10))
    rest = min(AFTER_FAILURE * 2**doublings, LONGEST_PAUSE)
    if error.retry_after_s is None:
        rest = WHEN_NO_USE
    else:
        rest = max(rest, min(timedelta(seconds=error.retry_after_s), WHEN_NO_USE))
    return Asking(failures, now, now + rest, error.reason)


def merged(runs: Sequence[AirSeries], now: datetime) -> AirSeries | Unknown:
    """The newest run, with the hours before it that earlier runs had seen; newest wins per hour.

    runs : of one service and one place, in any order

    Of an earlier run only the hours before its own issue time are taken: the rest of it was a
    forecast that nobody has checked, and would pass for the past here. Hours that no run has seen
    stay missing. Unknown without a run, or when the newest is older than 72 h or of the future.
    """
    of_age = [run for run in runs if run.issued_at <= now + CLOCKS_APART and run.hours]
    if not of_age:
        why = "there is none yet"
        if any(run.hours for run in runs):
            ahead = max(run.issued_at for run in runs)
            why = f"its issue time {_at(ahead)} lies after now, {_at(now)}"
        return Unknown(WHAT, why, REMEDY)
    newest, *earlier = sorted(of_age, key=lambda run: run.issued_at, reverse=True)
    if grade(newest.issued_at, now) == "none":
        age_h = (now - newest.issued_at) / HOUR
        why = f"the last is of {_at(newest.issued_at)}, {age_h:.0f} h ago, and no use after 72 h"
        return Unknown(WHAT, why, REMEDY)
    if not np.isfinite(_lately(newest, now)).any():
        why = f"no air temperature from {_at(now - BRIDGED_GAP_H * HOUR)} on"
        return Unknown(WHAT, why, REMEDY)
    return _joined(newest, [_seen(run) for run in earlier])


def choose(offers: Sequence[tuple[str, Sequence[AirSeries]]], now: datetime) -> Chosen | Unknown:
    """The first service, in the shop's order, that is not stale; else the first stale one.

    offers : (service, its runs for this place), most wanted first
    """
    usable: list[Chosen] = []
    missing: list[str] = []
    for provider, runs in offers:
        air = merged(runs, now)
        if isinstance(air, Unknown):
            missing.append(f"{provider}: {air.why}")
            continue
        age_h = max(0.0, (now - air.issued_at) / HOUR)
        usable.append(Chosen(air, provider, grade(air.issued_at, now), age_h))
    for chosen in usable:
        if chosen.grade != "stale":
            return chosen
    if usable:
        return usable[0]
    return Unknown(WHAT, "; ".join(missing) or "no service and no file", REMEDY)


def _at(instant: datetime) -> str:
    return f"{instant:%Y-%m-%d %H:%M} UTC"


def _lately(run: AirSeries, now: datetime) -> Array:
    """Air of the last hours that could be bridged to now, and of all after them."""
    first = max(0, int(np.ceil(run.hour_of(now))) - BRIDGED_GAP_H)
    return run.air_C[first:]


def _seen(run: AirSeries) -> AirSeries | None:
    """The hours of a run that lie before its issue time."""
    if run.issued_at <= run.start:
        return None
    hours = min(run.hours, int(np.ceil(run.hour_of(run.issued_at))))
    return run.between(run.start, run.start + (hours - 1) * HOUR)


def _joined(newest: AirSeries, earlier: list[AirSeries | None]) -> AirSeries:
    """One series from the first hour of any to the last of the newest, later issues first."""
    layers = [newest, *(run for run in earlier if run is not None)]
    start = min(run.start for run in layers)
    hours = round((newest.end - start) / HOUR) + 1
    columns = {name: np.full(hours, np.nan) for name in LAYERS}
    told = np.zeros(hours, dtype=bool)  # hours whose air and dew point come from one run
    for run in layers:
        first = round((run.start - start) / HOUR)
        span = slice(first, min(first + run.hours, hours))
        cut = slice(0, span.stop - first)
        both = np.isfinite(run.air_C[cut]) & np.isfinite(run.dew_point_C[cut]) & ~told[span]
        for name in ("air_C", "dew_point_C"):
            columns[name][span] = np.where(both, getattr(run, name)[cut], columns[name][span])
        told[span] |= both
        for name in LAYERS[2:]:
            mine = columns[name][span]
            columns[name][span] = np.where(np.isnan(mine), getattr(run, name)[cut], mine)
    lone = np.isnan(columns["air_C"][-newest.hours :])  # air without dew point is air all the same
    columns["air_C"][-newest.hours :][lone] = newest.air_C[lone]
    return AirSeries(start=start, issued_at=newest.issued_at, source=newest.source, **columns)
