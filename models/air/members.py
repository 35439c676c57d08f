"""An ensemble of the air: forecast errors that grow with lead, and what readings make of them."""

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from models._jit import kernel
from models.air.series import HIGHEST_DEW_C, HOUR, LIMITS, LOWEST_DEW_C, AirSeries
from models.air.served import Served, served
from models.air.spread import HOURLY_MEMORY, lead_sd, told_sd
from models.draws import even_normal
from models.units import Array

# a typical year against another one: sqrt 2 of the hourly anomalies (30-day mean day) of the TMY3
# of Greensboro in PyPI pvlib, 6.4 K over the year and 7.6 to 9.2 K from December to March
TYPICAL_SD_K = 8.0
SITE_SD_K = 0.7  # a yard is not the station, OWN_JUDGEMENT
DEW_SHARE = 0.7  # dew point moves with temperature, OWN_MEASURED_2013 (0.73)
WIND_SD, CLOUD_SD = 0.35, 0.25  # of the logarithm; of the share: OWN_JUDGEMENT
SURER = 0.3  # of that doubt, where wind and cloud were analysed or a member serves them
# of a window of six hours, and an hour's rain in it, where the record has none: OWN_JUDGEMENT
UNKNOWN_RAIN_CHANCE, UNKNOWN_RAIN_MM = 0.15, 1.0
MEAN_DAY_H = 240  # of the record's end, from which its mean day is made


@dataclass(frozen=True)
class AirMembers:
    """Members of the air outdoors, (hours, members); `start` is the first hour.

    air_C, dew_point_C [degC]; wind_m_s [m/s] at 10 m; cloud_fraction 0 to 1; rain_mm [mm/h];
    shortwave_W_m2 [W/m2], NaN: computed from sun and cloud; error_sd_K (hours,) [K]
    """

    start: datetime
    air_C: Array
    dew_point_C: Array
    wind_m_s: Array
    cloud_fraction: Array
    rain_mm: Array
    shortwave_W_m2: Array
    error_sd_K: Array


def error_covariance(sd: Array, memory: float = HOURLY_MEMORY, site_sd: float = SITE_SD_K) -> Array:
    """Covariance of the temperature error between hours [K2], (hours, hours).

    sd_i sd_j memory^|i - j| + site_sd^2.

    sd : (hours,) [K]; memory dimensionless 0 to 1; site_sd [K]
    Source: ZHENG_2025 (first-order autoregressive).
    """
    index = np.arange(len(sd))
    covariance: Array = np.outer(sd, sd) * memory ** np.abs(index[:, None] - index) + site_sd**2
    return covariance


@kernel
def _autoregressive(white: Array, memory: float) -> Array:
    """Unit-variance AR(1) along the first axis from white noise (hours, members)."""
    out = np.empty_like(white)
    fresh = np.sqrt(1 - memory * memory)
    for m in range(white.shape[1]):
        out[0, m] = white[0, m]
    for h in range(1, white.shape[0]):
        for m in range(white.shape[1]):
            out[h, m] = memory * out[h - 1, m] + fresh * white[h, m]
    return out


def draw(series: AirSeries, members: int, seed: int, beyond_from: int | None = None) -> AirMembers:
    """Members of an hourly record without gaps; the same seed gives the same errors, and the
    first hours are the same however far the record reaches.

    They follow the service's own members where it has them, else the spread that it tells, else
    the table by lead; each goes over into the next without a step.

    series : hours without NaN in air, dew point; wind and cloud NaN take 2 m/s and clear sky
        (the colder guess at night)
    members : 2 to 4096
    beyond_from : index of the first hour that is no forecast but the mean day of the record

    Source: ZHENG_2025; table of spread.py.
    """
    hours = series.hours
    *streams, at_site, of_rain = (np.random.default_rng([seed, k]) for k in range(6))
    white = [stream.standard_normal((hours, members)) for stream in streams]
    site = even_normal(at_site, members) * SITE_SD_K
    lead = series.leads()
    since_issue: Array = np.arange(float(hours)) - series.hour_of(series.issued_at)
    beyond = np.arange(hours) >= (hours if beyond_from is None else beyond_from)
    table_sd = np.full(hours, TYPICAL_SD_K) if series.typical else lead_sd(lead, beyond)
    theirs = served(series, since_issue, table_sd, members, seed)
    sd = theirs.sd_K if theirs else told_sd(series, lead, table_sd)
    noise_sd = series.spread_factor * (theirs.noise_sd_K if theirs else sd)
    noise = noise_sd[:, None] * _autoregressive(white[0], HOURLY_MEMORY) + site
    own = 1.3 * np.sqrt(1 - DEW_SHARE**2) * noise_sd[:, None]
    error, dew_error = noise, DEW_SHARE * noise
    if theirs:
        error, dew_error = _with_theirs(theirs, series.spread_factor[:, None], noise)
    air = np.clip(series.air_C[:, None] + error, -60.0, 60.0)
    dew = series.dew_point_C[:, None] + dew_error + own * _autoregressive(white[1], HOURLY_MEMORY)
    dew = np.clip(np.minimum(dew, air), LOWEST_DEW_C, HIGHEST_DEW_C)
    wind = _wind(series, theirs, _autoregressive(white[2], 0.9))
    cloud = _cloud(series, theirs, lead, _autoregressive(white[3], 0.9))
    rain = _rain(series, members, of_rain)
    return AirMembers(
        series.start, air, dew, wind, cloud, _or(theirs, "rain_mm", rain),
        np.repeat(series.shortwave_W_m2[:, None], members, 1), series.spread_factor * sd,
    )  # fmt: skip


def _with_theirs(theirs: Served, factor: Array, noise: Array) -> tuple[Array, Array]:
    """Error of air and dew point with what the service's members say of it, (hours, members)."""
    apart = theirs.offset_K[:, None] + factor * theirs.apart_K
    if not theirs.dew_served:
        return apart + noise, DEW_SHARE * (apart + noise)
    dew_apart = theirs.dew_offset_K[:, None] + factor * theirs.dew_apart_K
    return apart + noise, dew_apart + DEW_SHARE * noise


def _or(theirs: Served | None, name: str, otherwise: Array) -> Array:
    """What the drawn members serve of a column, and the other where they serve nothing."""
    if theirs is None:
        return otherwise
    column = getattr(theirs.drawn, name)
    return np.where(np.isfinite(column), column, otherwise)


def _wind(series: AirSeries, theirs: Served | None, z: Array) -> Array:
    usual = np.where(np.isnan(series.wind_m_s), 2.0, series.wind_m_s)[:, None]
    wind = usual * np.exp(WIND_SD * z - WIND_SD**2 / 2)
    if theirs:
        small = SURER * WIND_SD
        near = theirs.drawn.wind_m_s * np.exp(small * z - small**2 / 2)
        wind = np.where(np.isfinite(near), near, wind)
    capped: Array = np.minimum(wind, 60.0)
    return capped


def _cloud(series: AirSeries, theirs: Served | None, lead: Array, z: Array) -> Array:
    clear = np.where(np.isnan(series.cloud_fraction), 0.0, series.cloud_fraction)[:, None]
    doubt = np.where(lead < 0, SURER, 1.0)[:, None]
    if theirs:
        told = theirs.drawn.cloud_fraction
        doubt = np.where(np.isfinite(told), SURER, doubt)
        clear = np.where(np.isfinite(told), told, clear)
    return np.clip(clear + CLOUD_SD * doubt * z, 0.0, 1.0)


def _rain(series: AirSeries, members: int, random: np.random.Generator) -> Array:
    """Rain of each member: whole windows of six hours are wet or dry together.

    Rain that nobody foretells is not dry weather: some windows are wet.
    """
    unknown = np.isnan(series.rain_mm)
    amount = np.where(unknown, UNKNOWN_RAIN_MM * UNKNOWN_RAIN_CHANCE, series.rain_mm)[:, None]
    told = np.where(np.isnan(series.rain_chance), 1.0, series.rain_chance)
    chance = np.where(unknown, UNKNOWN_RAIN_CHANCE, told)[:, None]
    window = np.arange(series.hours) // 6
    dice = random.random((window[-1] + 1, members))[window]
    wet = dice < chance
    return np.where(wet, amount / np.maximum(chance, 0.05), 0.0)


def conditioned(
    air: Array, sd: Array, index: Array, value: Array, reading_sd: float, seed: int, site_sd: float
) -> Array:
    """Members of an air temperature after readings at whole hours [degC], (hours, members).

    Each member moves by the covariance of the error times what it missed (conditional
    simulation), so the readings' own doubt is kept.

    air : (hours, members) [degC]; sd : (hours,) [K]
    index, value : (readings,) hour and [degC]; reading_sd, site_sd [K]

    Source: Gaussian conditioning (Matheron's rule); error model ZHENG_2025.
    """
    cov = error_covariance(sd, site_sd=site_sd)
    at = index.astype(int)
    inner = cov[np.ix_(at, at)] + reading_sd**2 * np.eye(len(at))
    gain = np.linalg.solve(inner, cov[at]).T
    noise = np.random.default_rng(seed).standard_normal((len(at), air.shape[1])) * reading_sd
    moved: Array = air + gain @ (value[:, None] + noise - air[at])
    return moved


def extended(series: AirSeries, hours: int) -> tuple[AirSeries, int]:
    """The record lengthened to `hours` by its mean day; returns it and where the record ended.

    What the last hour was over its mean day fades with the memory of the error, so that air and
    dew point meet the mean day without a step.

    Raises nothing: a record under 24 h long is lengthened by its own mean.
    Source: OWN_MEASURED_2013 for the doubt (4 K) that goes with it; ZHENG_2025 for the memory.
    """
    have = series.hours
    if have >= hours:
        return series.between(series.start, series.start + (hours - 1) * HOUR), hours
    more = hours - have
    held = HOURLY_MEMORY ** np.arange(1.0, more + 1)
    none = np.zeros(more)
    dew_point_C = _lengthened(series.dew_point_C, held)
    air_C = np.clip(_lengthened(series.air_C, held), *LIMITS["air_C"])
    dew_point_C = np.clip(dew_point_C, *LIMITS["dew_point_C"])
    return replace(
        series, air_C=air_C, dew_point_C=np.where(dew_point_C > air_C, air_C, dew_point_C),
        wind_m_s=_lengthened(series.wind_m_s, none), rain_mm=_lengthened(series.rain_mm, none),
        cloud_fraction=_lengthened(series.cloud_fraction, none),
        shortwave_W_m2=_lengthened(series.shortwave_W_m2, none),
        rain_chance=_lengthened(series.rain_chance, none),
        spread_K=np.concatenate((series.spread_K, none + np.nan)),
        spread_factor=np.concatenate((series.spread_factor, none + 1)),
        lead_h=np.concatenate((series.lead_h, none + np.nan)),
        ensemble=series.ensemble and series.ensemble.rows(0, hours),
    ), have  # fmt: skip


def _lengthened(values: Array, held: Array) -> Array:
    """A column with its mean day behind it; `held`: share of the last hour's excess over that."""
    have, more = len(values), len(held)
    known = values[-MEAN_DAY_H:]
    clock = np.arange(have)[-MEAN_DAY_H:] % 24
    ok = np.isfinite(known)
    if not ok.any():
        return np.concatenate((values, np.full(more, np.nan)))
    count = np.bincount(clock[ok], minlength=24)
    total = np.bincount(clock[ok], known[ok], 24)
    day = np.where(count > 0, total / np.maximum(count, 1), known[ok].mean())
    excess = np.nan_to_num(values[-1] - day[(have - 1) % 24])
    return np.concatenate((values, day[np.arange(have, have + more) % 24] + excess * held))
