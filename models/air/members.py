"""An ensemble of the air: forecast errors that grow with lead, and what readings make of them."""

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from models._jit import kernel
from models.air.series import HOUR, AirSeries
from models.draws import even_normal
from models.units import Array, Mask

# standard deviation of the temperature error by lead: judged from ZHENG_2025 and the station
# figures of 6-weather-services.md section 6; refit from stored forecasts when there are enough
LEAD_H = np.array([0.0, 6.0, 24.0, 48.0, 72.0, 96.0, 120.0, 144.0, 168.0, 240.0])
LEAD_SD_K = np.array([0.8, 1.2, 1.6, 1.9, 2.3, 2.7, 3.1, 3.4, 3.7, 4.0])
PAST_SD_K = 0.5  # analysed hours before the forecast was made
BEYOND_SD_K = 4.0  # the mean day of the record: sd of hourly anomalies, OWN_MEASURED_2013
HOURLY_MEMORY = 0.94  # lag-1 correlation of the error, ZHENG_2025 medium case
SITE_SD_K = 0.7  # a yard is not the station
DEW_SHARE = 0.7  # dew point moves with temperature, OWN_MEASURED_2013 (0.73)
WIND_SD = 0.35  # of the logarithm
CLOUD_SD = 0.25
HIGHEST_DEW_C = 36.0  # no higher dew point is on record (35 degC), from memory


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


def lead_sd(lead_h: Array, beyond: Mask) -> Array:
    """Standard deviation of the temperature error [K] at a lead [h], (hours,); beyond is boolean.

    Source: ZHENG_2025 and OWN_JUDGEMENT (table above).
    """
    sd: Array = np.where(lead_h < 0, PAST_SD_K, np.interp(lead_h, LEAD_H, LEAD_SD_K))
    wide: Array = np.where(beyond, np.maximum(sd, BEYOND_SD_K), sd)
    return wide


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
    """Members of an hourly record without gaps; the same seed gives the same errors.

    series : hours without NaN in air, dew point; wind and cloud NaN take 2 m/s and clear sky
        (the colder guess at night)
    members : 2 to 4096
    beyond_from : index of the first hour that is no forecast but the mean day of the record

    Source: ZHENG_2025; table of this file.
    """
    hours = series.hours
    random = np.random.default_rng(seed)
    white = random.standard_normal((4, hours, members))
    site = even_normal(random, members) * SITE_SD_K
    lead: Array = np.arange(float(hours)) - series.hour_of(series.issued_at)
    beyond = np.arange(hours) >= (hours if beyond_from is None else beyond_from)
    sd = lead_sd(lead, beyond)
    error = sd[:, None] * _autoregressive(white[0], HOURLY_MEMORY) + site
    air = np.clip(series.air_C[:, None] + error, -60.0, 60.0)
    own = 1.3 * np.sqrt(1 - DEW_SHARE**2) * sd[:, None] * _autoregressive(white[1], HOURLY_MEMORY)
    dew = np.minimum(series.dew_point_C[:, None] + DEW_SHARE * error + own, air)
    dew = np.minimum(dew, HIGHEST_DEW_C)
    wind = np.where(np.isnan(series.wind_m_s), 2.0, series.wind_m_s)[:, None] * np.exp(
        WIND_SD * _autoregressive(white[2], 0.9) - WIND_SD**2 / 2
    )
    clear = np.where(np.isnan(series.cloud_fraction), 0.0, series.cloud_fraction)[:, None]
    uncertain = np.where(lead < 0, 0.3, 1.0)[:, None]
    cloud = np.clip(clear + CLOUD_SD * uncertain * _autoregressive(white[3], 0.9), 0.0, 1.0)
    return AirMembers(
        series.start, air, dew, np.minimum(wind, 60.0), cloud,
        _rain(series, members, random), np.repeat(series.shortwave_W_m2[:, None], members, 1), sd,
    )  # fmt: skip


def _rain(series: AirSeries, members: int, random: np.random.Generator) -> Array:
    """Rain of each member: whole windows of six hours are wet or dry together."""
    amount = np.where(np.isnan(series.rain_mm), 0.0, series.rain_mm)[:, None]
    chance = np.where(np.isnan(series.rain_chance), 1.0, series.rain_chance)[:, None]
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

    Raises nothing: a record under 24 h long is lengthened by its own mean.
    Source: OWN_MEASURED_2013 for the doubt (4 K) that goes with it.
    """
    have = series.hours
    if have >= hours:
        return series.between(series.start, series.start + (hours - 1) * HOUR), hours
    extra = np.arange(have, hours)
    tail = slice(max(0, have - 240), have)
    clock = (np.arange(have) % 24)[tail]

    def column(values: Array, fallback: float) -> Array:
        known = values[tail]
        ok = np.isfinite(known)
        if not ok.any():
            return np.concatenate((values, np.full(len(extra), np.nan)))
        whole = float(known[ok].mean()) if np.isnan(fallback) else fallback
        total = np.bincount(clock[ok], known[ok], 24)
        count = np.bincount(clock[ok], minlength=24)
        day = np.where(count > 0, total / np.maximum(count, 1), whole)
        return np.concatenate((values, day[extra % 24]))

    return replace(
        series, air_C=column(series.air_C, np.nan), dew_point_C=column(series.dew_point_C, np.nan),
        wind_m_s=column(series.wind_m_s, np.nan), rain_mm=column(series.rain_mm, np.nan),
        cloud_fraction=column(series.cloud_fraction, np.nan),
        shortwave_W_m2=column(series.shortwave_W_m2, np.nan),
        rain_chance=column(series.rain_chance, np.nan),
        spread_K=np.concatenate((series.spread_K, np.full(len(extra), np.nan))),
        spread_factor=np.concatenate((series.spread_factor, np.ones(len(extra)))),
        ensemble=series.ensemble and series.ensemble.rows(0, hours),
    ), have  # fmt: skip
