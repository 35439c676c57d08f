"""An ensemble of the air: forecast errors that grow with lead, and what readings make of them."""

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from models.air.ensemble_forecast import EnsembleForecast, ensemble_forecast
from models.air.series import HOUR, LIMITS, LOWEST_DEW_C, AirSeries
from models.air.spread import lasting, lead_sd, stated_sd
from models.draws import Draws
from models.facts import forecast
from models.facts.air import HIGHEST_DEW_C
from models.facts.forecast import (
    CLOUD_MEMORY,
    CLOUD_SD,
    KNOWN_FRACTION,
    LEAST_CHANCE,
    SITE_SD_K,
    WIND_MEMORY,
    WIND_SD,
)
from models.rng import ROOT
from models.units import Array

MEMORIES = {  # from hour to hour
    "air": forecast.HOURLY_MEMORY,
    "air beyond": forecast.BEYOND_MEMORY,
    "dew point": forecast.HOURLY_MEMORY,
    "wind": WIND_MEMORY,
    "cloud": CLOUD_MEMORY,
}
MEAN_DAY_H = 240  # of the record's end, from which its mean day is made


@dataclass(frozen=True)
class AirMembers:
    """Members of the air outdoors, (hours, members); `start` is the first hour.

    air_C, dew_point_C [degC]; wind_m_s [m/s] at 10 m; cloud_fraction 0 to 1; rain_mm [mm/h];
    shortwave_W_m2 [W/m2], NaN: computed from sun and cloud; error_sd_K (hours,) [K]; site_K
    (members,) [K] what of air_C is the site's own error
    """

    start: datetime
    air_C: Array
    dew_point_C: Array
    wind_m_s: Array
    cloud_fraction: Array
    rain_mm: Array
    shortwave_W_m2: Array
    error_sd_K: Array
    site_K: Array


def error_covariance(
    sd: Array, memory: float = forecast.HOURLY_MEMORY, site_sd: float = SITE_SD_K
) -> Array:
    """Covariance of the temperature error between hours [K2], (hours, hours).

    sd_i sd_j memory^|i - j| + site_sd^2.

    sd : (hours,) [K]; memory dimensionless 0 to 1; site_sd [K]
    Source: ZHENG_2025 (first-order autoregressive).
    """
    index = np.arange(len(sd))
    covariance: Array = np.outer(sd, sd) * memory ** np.abs(index[:, None] - index) + site_sd**2
    return covariance


def draw(
    series: AirSeries, members: int, seed: int = ROOT, beyond_from: int | None = None
) -> AirMembers:
    """Members of an hourly record without gaps; the same seed gives the same errors at the same
    hours of one forecast, wherever the record begins and ends.

    They follow the service's own members where it has them, else the spread that it tells, else
    the table by lead; each goes over into the next without a step.

    series : hours without NaN in air; a dew point NaN is drawn as what was never told; wind NaN
        takes 2 m/s, cloud NaN anything from clear to overcast
    members : 2 to 4096
    beyond_from : index of the first hour that is no forecast but the mean day of the record

    Source: ZHENG_2025; CITY_FORECASTS_2021; tables of facts.forecast.
    """
    hours = series.hours
    draws, first = Draws(members, seed), -anchor(series)
    paths = {name: draws.path(name, memory, first, hours) for name, memory in MEMORIES.items()}
    site = draws.normal("site") * SITE_SD_K
    lead = series.leads()
    since_issue: Array = np.arange(float(hours)) - series.hour_of(series.issued_at)
    beyond = np.arange(hours) >= (hours if beyond_from is None else beyond_from)
    table_sd = np.full(hours, forecast.TYPICAL_SD_K)
    if not series.typical:
        table_sd = lead_sd(lead, beyond, series.air_C)
    ensemble = ensemble_forecast(series, since_issue, table_sd, draws.even("member of the service"))
    sd = ensemble.sd_K if ensemble else stated_sd(series, lead, table_sd)
    noise_sd = series.spread_factor * (ensemble.noise_sd_K if ensemble else sd)
    slow = lasting(beyond)[:, None]
    path = np.sqrt(1 - slow) * paths["air"] + np.sqrt(slow) * paths["air beyond"]
    noise = noise_sd[:, None] * path + site
    own = forecast.DEW_OWN_FACTOR * np.sqrt(1 - forecast.DEW_FRACTION**2) * noise_sd[:, None]
    error, dew_error = noise, forecast.DEW_FRACTION * noise
    if ensemble:
        error, dew_error = _ensemble_error(ensemble, series.spread_factor[:, None], noise)
    air = np.clip(series.air_C[:, None] + error, -60.0, 60.0)
    dew = _dew(series, draws) + dew_error + own * paths["dew point"]
    dew = np.clip(np.minimum(dew, air), LOWEST_DEW_C, HIGHEST_DEW_C)
    wind = _wind(series, ensemble, paths["wind"])
    cloud = _cloud(series, ensemble, lead, paths["cloud"])
    wet_u, times = _windows(series.start.hour, first, hours, draws)
    rain = _rain(series, lead, wet_u, times)
    return AirMembers(
        series.start,
        air,
        dew,
        wind,
        cloud,
        _ensemble_column(ensemble, "rain_mm", rain),
        np.repeat(series.shortwave_W_m2[:, None], members, 1),
        series.spread_factor * sd,
        site,
    )


def anchor(series: AirSeries) -> int:
    """Row at which the draws of a record begin: the last whole hour before it was issued; its
    first where it is a typical year.

    Source: definition.
    """
    return 0 if series.typical else int(np.floor(series.hour_of(series.issued_at)))


def _dew(series: AirSeries, draws: Draws) -> Array:
    """The dew point as told (hours, 1), or where it was not each member's own (hours, members)."""
    dew_C: Array = series.dew_point_C[:, None]
    if not np.isnan(dew_C).any():
        return dew_C
    apart = forecast.UNKNOWN_DEPRESSION_SD * draws.normal("dew")
    depression_K = forecast.UNKNOWN_DEPRESSION_K * np.exp(apart)
    under = np.minimum(depression_K, forecast.MOST_DEPRESSION_K)
    return np.where(np.isnan(dew_C), series.air_C[:, None] - under, dew_C)


def _ensemble_error(ensemble: EnsembleForecast, factor: Array, noise: Array) -> tuple[Array, Array]:
    """Error of air and dew point with what the service's members say of it, (hours, members)."""
    apart = ensemble.offset_K[:, None] + factor * ensemble.apart_K
    if not ensemble.has_dew_point:
        return apart + noise, forecast.DEW_FRACTION * (apart + noise)
    dew_apart = ensemble.dew_offset_K[:, None] + factor * ensemble.dew_apart_K
    return apart + noise, dew_apart + forecast.DEW_FRACTION * noise


def _ensemble_column(ensemble: EnsembleForecast | None, name: str, otherwise: Array) -> Array:
    """What the drawn members serve of a column, and the other where they serve nothing."""
    if ensemble is None:
        return otherwise
    column = getattr(ensemble.drawn, name)
    return np.where(np.isfinite(column), column, otherwise)


def _wind(series: AirSeries, ensemble: EnsembleForecast | None, z: Array) -> Array:
    usual = np.where(np.isnan(series.wind_m_s), 2.0, series.wind_m_s)[:, None]
    wind = usual * np.exp(WIND_SD * z - WIND_SD**2 / 2)
    if ensemble:
        small = KNOWN_FRACTION * WIND_SD
        near = ensemble.drawn.wind_m_s * np.exp(small * z - small**2 / 2)
        wind = np.where(np.isfinite(near), near, wind)
    capped: Array = np.minimum(wind, 60.0)
    return capped


def _cloud(series: AirSeries, ensemble: EnsembleForecast | None, lead: Array, z: Array) -> Array:
    mean, doubt = series.cloud_fraction[:, None], np.where(lead < 0, KNOWN_FRACTION, 1.0)[:, None]
    if ensemble:
        has_cloud = np.isfinite(ensemble.drawn.cloud_fraction)
        mean = np.where(has_cloud, ensemble.drawn.cloud_fraction, mean)
        doubt = np.where(has_cloud, KNOWN_FRACTION, doubt)
    cloud = np.clip(mean + CLOUD_SD * doubt * z, 0.0, 1.0)
    return np.where(np.isnan(cloud), _even(z), cloud)


def _even(z: Array) -> Array:
    """Standard normal numbers as numbers from 0 to 1, nearly even ones; dimensionless.

    Source: logistic approximation of the normal distribution, within 0.01 (Bowling et al. 2009,
    from memory).
    """
    even: Array = 1.0 / (1.0 + np.exp(-1.702 * z))
    return even


def _windows(clock_h: int, first: int, hours: int, draws: Draws) -> tuple[Array, Array]:
    """What decides in each hour whether a member is wet, and how much of the mean then falls.

    Both are the same throughout a window of six hours that begins at 0, 6, 12 or 18 UTC, as
    services tell chances: an even number of 0 to 1 that a chance is held against, each of the
    members' equal shares once; and a factor of mean 1; (hours, members) dimensionless.

    clock_h : UTC hour of the first row; first : its row counted from the anchor
    """
    row = first + np.arange(hours)
    window = (row + (clock_h - first) % 24 % forecast.WINDOW_H) // forecast.WINDOW_H
    begin, count = int(window[0]), int(window[-1] - window[0]) + 1
    together = draws.path("wet windows", forecast.WINDOWS_TOGETHER, begin, count)
    times = draws.gamma("amounts of rain", forecast.RAIN_SHAPE, begin, count)
    return draws.shares(together)[window - begin], times[window - begin]


def _rain(series: AirSeries, lead: Array, wet_u: Array, times: Array) -> Array:
    """Rain of each member [mm/h], (hours, members): whether and how much are both drawn.

    A chance counts by itself: where no amount is told with it, the climate's rain falls, and never
    less than what a chance is told of. An amount that was seen, or has no chance beside it, is
    taken as told. Rain that nobody foretells is not dry weather.
    """
    forecast_mm = series.rain_mm[:, None]
    unknown = np.isnan(forecast_mm)
    chance = np.where(np.isnan(series.rain_chance), forecast.RAIN_CHANCE, series.rain_chance)
    chance = np.where(forecast_mm > 0, np.maximum(chance[:, None], LEAST_CHANCE), chance[:, None])
    mean_mm = np.where(unknown, forecast.RAIN_MM_H, forecast_mm / np.maximum(chance, LEAST_CHANCE))
    drawn = np.where(wet_u < chance, np.maximum(mean_mm * times, forecast.LEAST_RAIN_MM_H), 0.0)
    certain = (np.isnan(series.rain_chance) | (lead < 0))[:, None] & ~unknown
    return np.where(certain, forecast_mm, drawn)


def extended(series: AirSeries, hours: int) -> tuple[AirSeries, int]:
    """The record lengthened to `hours` by its mean day; returns it and where the record ended.

    What the last hour was over its mean day fades with the memory of the error, so that air and
    dew point meet the mean day without a step.

    Raises nothing: a record under 24 h long is lengthened by its own mean.
    Source: OWN_MEASURED_2013 for the doubt (4.8 K) that goes with it; ZHENG_2025 for the memory.
    """
    have = series.hours
    if have >= hours:
        return series.between(series.start, series.start + (hours - 1) * HOUR), hours
    more = hours - have
    fade = forecast.HOURLY_MEMORY ** np.arange(1.0, more + 1)
    none = np.zeros(more)
    dew_point_C = _lengthened(series.dew_point_C, fade)
    air_C = np.clip(_lengthened(series.air_C, fade), *LIMITS["air_C"])
    dew_point_C = np.clip(dew_point_C, *LIMITS["dew_point_C"])
    return replace(
        series,
        air_C=air_C,
        dew_point_C=np.where(dew_point_C > air_C, air_C, dew_point_C),
        wind_m_s=_lengthened(series.wind_m_s, none),
        rain_mm=_lengthened(series.rain_mm, none),
        cloud_fraction=_lengthened(series.cloud_fraction, none),
        shortwave_W_m2=_lengthened(series.shortwave_W_m2, none),
        rain_chance=_lengthened_chance(series, none),
        spread_K=np.concatenate((series.spread_K, none + np.nan)),
        spread_factor=np.concatenate((series.spread_factor, none + 1)),
        lead_h=np.concatenate((series.lead_h, none + np.nan)),
        ensemble=series.ensemble and series.ensemble.rows(0, hours),
    ), have


def _lengthened_chance(series: AirSeries, fade: Array) -> Array:
    """Chance of rain with that of its mean day behind it: some hours are dry, not all drizzle."""
    fell = np.where(np.isnan(series.rain_mm), np.nan, series.rain_mm > 0)
    chance = np.where(np.isnan(series.rain_chance), fell, series.rain_chance)
    behind = _lengthened(chance, fade)[series.hours :]
    return np.concatenate((series.rain_chance, behind))


def _lengthened(values: Array, fade: Array) -> Array:
    """A column with its mean day behind it; `fade`: fraction of the last hour's excess."""
    have, more = len(values), len(fade)
    known = values[-MEAN_DAY_H:]
    clock = np.arange(have)[-MEAN_DAY_H:] % 24
    ok = np.isfinite(known)
    if not ok.any():
        return np.concatenate((values, np.full(more, np.nan)))
    count = np.bincount(clock[ok], minlength=24)
    total = np.bincount(clock[ok], known[ok], 24)
    day = np.where(count > 0, total / np.maximum(count, 1), known[ok].mean())
    excess = np.nan_to_num(values[-1] - day[(have - 1) % 24])
    return np.concatenate((values, day[np.arange(have, have + more) % 24] + excess * fade))
