"""A regular hourly record of the air, in UTC: gaps are shown, never filled in silence."""

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np

from models.air import psychrometrics
from models.air.ensemble import LIMITS as LIMITS_OF_A_MEMBER
from models.air.ensemble import Ensemble, padded
from models.errors import InputError
from models.facts.air import COLDEST_CLOCK_H, HIGHEST_DEW_C, WARMEST_CLOCK_H
from models.instants import aware
from models.units import Array, within

HOUR = timedelta(hours=1)
NEVER = datetime(1, 1, 1, tzinfo=UTC)
LIMITS = {
    **LIMITS_OF_A_MEMBER,
    "shortwave_W_m2": (0.0, 1500.0),
    "rain_chance": (0.0, 1.0),
    "spread_K": (0.0, 30.0),
    "spread_factor": (0.1, 100.0),
    "lead_h": (-1.0, 1e4),
}
DEFAULTS = {"rain_chance": np.nan, "spread_K": np.nan, "spread_factor": 1.0, "lead_h": np.nan}
OBSERVED, ANALYSED = -1.0, -0.5  # leads of hours that were seen: by a station, by the service
LOWEST_DEW_C = LIMITS["dew_point_C"][0]
BRIDGED_GAP_H = 3  # longest gap that is interpolated (and reported); longer ones stay unknown


@dataclass(frozen=True)
class AirSeries:
    """Hourly air, one value at each whole hour; NaN where the record has none.

    start : first hour, UTC
    air_C, dew_point_C : (hours,) [degC], at the hour
    wind_m_s : (hours,) [m/s] at 10 m, at the hour
    rain_mm : (hours,) [mm] in the hour that begins there
    cloud_fraction : (hours,) 0 to 1, at the hour
    shortwave_W_m2 : (hours,) [W/m2] global horizontal, mean of the hour that begins there;
        NaN: computed from sun and cloud
    issued_at : when the forecast was made; hours before it are observed or analysed; NEVER: a
        typical year laid over these dates, no hour of which was forecast or observed
    source : which service or file, in words for people
    rain_chance : (hours,) 0 to 1, NaN where the service gives none
    spread_K : (hours,) standard deviation of the air temperature that the service tells [K],
        NaN where it tells none
    spread_factor : (hours,) what kept forecasts of the place make of the spread, dimensionless
    lead_h : (hours,) how long before the hour it was said what it would be [h]; OBSERVED or
        ANALYSED where it was seen; NaN: counted from issued_at
    ensemble : the service's own members on the same hours, None where it has none
    typed : guessed by a person, not told by a service or a file
    """

    start: datetime
    air_C: Array
    dew_point_C: Array
    wind_m_s: Array
    rain_mm: Array
    cloud_fraction: Array
    shortwave_W_m2: Array
    issued_at: datetime
    source: str
    rain_chance: Array = field(default_factory=lambda: np.empty(0))
    spread_K: Array = field(default_factory=lambda: np.empty(0))
    spread_factor: Array = field(default_factory=lambda: np.empty(0))
    lead_h: Array = field(default_factory=lambda: np.empty(0))
    ensemble: Ensemble | None = None
    typed: bool = False

    def __post_init__(self) -> None:
        start = aware("time", self.start)
        if start.minute or start.second or start.microsecond:
            raise InputError("time", self.start.isoformat(), "not a whole hour", "hourly rows")
        object.__setattr__(self, "start", start)
        object.__setattr__(self, "issued_at", aware("issued_at", self.issued_at))
        hours = len(self.air_C)
        for name, nothing in DEFAULTS.items():
            if not len(getattr(self, name)):
                object.__setattr__(self, name, np.full(hours, nothing))
        for name, (low, high) in LIMITS.items():
            column = np.asarray(getattr(self, name), dtype=np.float64)
            if column.shape != (hours,):
                raise InputError(name, column.shape, "length differs from air_C", f"{hours} hours")
            within(name, column[~np.isnan(column)], low, high)
            object.__setattr__(self, name, column)
        if self.ensemble is not None and self.ensemble.hours != hours:
            wrong = "length differs from air_C"
            raise InputError("ensemble", self.ensemble.hours, wrong, f"{hours} hours")

    @property
    def typical(self) -> bool:
        """Whether it is a typical year: to plan by, never a forecast."""
        return self.issued_at == NEVER

    @property
    def hours(self) -> int:
        return len(self.air_C)

    @property
    def end(self) -> datetime:
        """The last hour that has a row."""
        return self.start + (self.hours - 1) * HOUR

    def hour_of(self, at: datetime) -> float:
        """Hours from the first row to `at`; negative before it."""
        return (at - self.start) / HOUR

    def leads(self) -> Array:
        """How long before each hour it was said [h], (hours,); negative where it was seen."""
        by_issue: Array = np.arange(float(self.hours)) - self.hour_of(self.issued_at)
        return np.where(np.isnan(self.lead_h), by_issue, self.lead_h)

    def times(self) -> list[datetime]:
        return [self.start + k * HOUR for k in range(self.hours)]

    def missing(self, begin: datetime, end: datetime) -> list[datetime]:
        """Whole hours from `begin` to `end`, both included, without temperature or dew point."""
        first = int(np.floor(self.hour_of(begin)))
        last = max(int(np.ceil(self.hour_of(end))), first - 1)
        moist_air = padded(self.air_C + self.dew_point_C, first, last + 1)
        return [self.start + (first + int(k)) * HOUR for k in np.flatnonzero(np.isnan(moist_air))]

    def bridged(self) -> tuple["AirSeries", int]:
        """Gaps of up to three hours closed by straight lines; how many hours of air were closed."""
        names = ("air_C", "dew_point_C", "wind_m_s", "cloud_fraction")
        columns: dict[str, Any] = {name: _bridge(getattr(self, name)) for name in names}
        closed = int(np.isnan(self.air_C).sum() - np.isnan(columns["air_C"]).sum())
        return replace(self, **columns), closed

    def between(self, begin: datetime, end: datetime) -> "AirSeries":
        """The hours from `begin` to `end`, both rounded outwards, cut to what there is."""
        lo = max(0, int(np.floor(self.hour_of(begin))))
        hi = min(self.hours, int(np.ceil(self.hour_of(end))) + 1)
        cut: dict[str, Any] = {name: getattr(self, name)[lo:hi] for name in LIMITS}
        cut["ensemble"] = self.ensemble.rows(lo, hi) if self.ensemble and hi > lo else None
        return replace(self, start=self.start + lo * HOUR, **cut)


def _bridge(column: Array) -> Array:
    bad = np.isnan(column)
    if not bad.any() or bad.all():
        return column
    index = np.arange(len(column))
    filled = np.interp(index, index[~bad], column[~bad])
    edges = np.flatnonzero(np.diff(np.concatenate(([False], bad, [False])).astype(np.int8)))
    for begin, end in zip(edges[::2], edges[1::2], strict=True):
        if begin == 0 or end == len(column) or end - begin > BRIDGED_GAP_H:
            filled[begin:end] = np.nan
    return filled


def from_low_high(
    night_low_C: float,
    day_high_C: float,
    first_night: datetime,
    *,
    days: int = 3,
    dew_point_C: float | None = None,
    wind_m_s: float = 2.0,
    cloud_fraction: float = 0.0,
) -> AirSeries:
    """Hourly air from a typed night low and day high: half cosines between 05:00 and 14:00 [degC].

    first_night : local noon or later of the day whose night is meant, with its offset
    days : how many times the pair repeats
    dew_point_C : taken 1 K under the low when not given, as after a clear night

    Rows stand on whole hours of UTC; where the clock of the place is off by part of an hour, the
    first is the one before its midnight.

    Raises InputError outside -40 to 45 degC or where the high is below the low.
    Source: OWN_MEASURED_2013 (half cosine, low 05:00, high 14:00: error 2.1 K rms at Newark 2013).
    """
    low = float(within("night_low_C", night_low_C, -40.0, 45.0, "degC"))
    high = float(within("day_high_C", day_high_C, -40.0, 45.0, "degC"))
    if high < low:
        raise InputError("day_high_C", high, "below the night's low", f"{low:g} or more")
    aware("first_night", first_night)
    zone = first_night.tzinfo
    midnight = first_night.replace(hour=0, minute=0, second=0, microsecond=0).astimezone(UTC)
    begin = midnight.replace(minute=0)
    hours = [begin + k * HOUR for k in range(24 * (days + 1) + (begin < midnight))]
    local = [at.astimezone(zone) for at in hours]
    clock = np.array([at.hour + at.minute / 60 for at in local])
    rise = (clock - COLDEST_CLOCK_H) / (WARMEST_CLOCK_H - COLDEST_CLOCK_H)
    cools_h = 24.0 - (WARMEST_CLOCK_H - COLDEST_CLOCK_H)
    fall = ((clock - WARMEST_CLOCK_H) % 24.0) / cools_h
    middle, half = (low + high) / 2, (high - low) / 2
    warming = (clock >= COLDEST_CLOCK_H) & (clock < WARMEST_CLOCK_H)
    air = middle + half * np.where(warming, -np.cos(np.pi * rise), np.cos(np.pi * fall))
    dew = np.minimum(air, min(low - 1.0, HIGHEST_DEW_C) if dew_point_C is None else dew_point_C)
    same = np.ones_like(air)
    return AirSeries(
        start=begin,
        air_C=air,
        dew_point_C=dew,
        wind_m_s=wind_m_s * same,
        rain_mm=0.0 * same,
        cloud_fraction=cloud_fraction * same,
        shortwave_W_m2=np.nan * same,
        issued_at=begin,
        source=f"typed by hand: night {round(low, 1):g} C, day {round(high, 1):g} C",
        typed=True,
    )


def dew_point_of(air_C: Array, rh_percent: Array) -> Array:
    """Dew point of a column that may hold NaN [degC]; Source: WMO_8."""
    known = np.isfinite(air_C) & np.isfinite(rh_percent)
    out = np.full(air_C.shape, np.nan)
    out[known] = psychrometrics.dew_point(air_C[known], rh_percent[known] / 100.0)
    return out
