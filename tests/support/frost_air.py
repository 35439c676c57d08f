"""Air of the frost season: the record of 2013, forecasts of it with measured errors, and the sun,
sky and wind that a face feels, by formulas of their own.
"""

import csv
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache

import numpy as np

from models.air.series import HOUR, OBSERVED, AirSeries
from models.units import Array
from tests.support.measured_mix import MEASURED

WIND_MOST_M_S = 8.0  # at 10 m, capped there: covers go at 11 to 17
SIGMA, EMISSIVITY, ABSORPTANCE = 5.67e-8, 0.9, 0.65
NOW_SD_K = 1.0  # of a forecast for the present hour, OWN_JUDGEMENT
RUNS_H, RUN_DELAY_H = 6, 4  # runs at 0, 6, 12, 18 UTC, out four hours later; from memory
LOW_UTC, HIGH_UTC = 11, 20  # six in the morning and three in the afternoon at Newark
DAY_CORRELATION = (0.5, 0.66)  # of the error of one night and the next, measured
CLEAR_RANGE_K, DULL_RANGE_K = 12.0, 4.0  # swing of a clear and of an overcast day, from memory


SEASONS = {**dict.fromkeys((12, 1, 2, 3), "Dec-Mar"), **dict.fromkeys((6, 7, 8, 9), "Jun-Sep")}


@cache
def measured_errors(kind: str, band: str, season: str = "Dec-Mar") -> tuple[Array, Array, Array]:
    """Lead [h], bias and sd [K] of forecasts of lows or highs in a season of the table."""
    with (MEASURED / "forecast_error_by_lead.csv").open(newline="") as file:
        rows = [
            (float(row["lead_h"]), float(row["bias_K"]), float(row["sd_K"]))
            for row in csv.DictReader(file)
            if (row["kind"], row["forecast_range"], row["season"]) == (kind, band, season)
        ]
    lead, bias, sd = np.array(sorted(rows)).T
    return lead, bias, sd


def _lows_and_highs(came: AirSeries, issued: datetime) -> Array:
    """Row, bias and sd [K] of a forecast at every low and high, (3, lows and highs)."""
    days = int(came.hours / 24) + 3
    first = came.start.replace(hour=0) - timedelta(days=1)
    found = []
    for half in range(2 * days):
        kind, hour = ("low", LOW_UTC) if half % 2 == 0 else ("high", HIGH_UTC)
        when = first + timedelta(days=half // 2, hours=hour)
        row = int(np.clip(round(came.hour_of(when)), 0, came.hours - 1))
        air_C = came.air_C[row]
        cold = "forecast < -5 C" if air_C < -5.0 else "forecast -5..5 C"
        season = SEASONS.get(issued.month, "all")
        band = cold if air_C < 5.0 and season != "Jun-Sep" else "any"
        lead, bias, sd = measured_errors(kind, band, season)
        ahead = float(np.clip((when - issued) / HOUR, 0.0, 10 * 24))
        grown = np.interp(ahead, [0.0, *lead, 240.0], [NOW_SD_K, *sd, 2 * sd[-1]])
        usual = np.interp(ahead, [0.0, *lead], [0.0, *bias])
        found.append((came.hour_of(when), float(usual), float(grown)))
    return np.array(found).T


def forecast_error(random: np.random.Generator, came: AirSeries, issued: datetime) -> Array:
    """Forecast minus what came, (hours,) [K]: measured at lows and highs, straight between them."""
    at, bias, sd = _lows_and_highs(came, issued)
    rho = np.sqrt(random.uniform(*DAY_CORRELATION))  # from a low to the next high
    z, error = random.standard_normal(), np.zeros(len(at))
    for half in range(len(at)):
        z = rho * z + np.sqrt(1 - rho**2) * random.standard_normal()
        error[half] = bias[half] + sd[half] * z
    return np.asarray(np.interp(np.arange(came.hours), at, error))


def usual_error(told: AirSeries, issued: datetime) -> Array:
    """By how much forecasts of such a season miss in the mean, (hours,) [K]."""
    at, bias, _ = _lows_and_highs(told, issued)
    return np.asarray(np.interp(np.arange(told.hours), at, bias))


def cloud_by_swing(air_C: Array, rain_mm: Array) -> Array:
    """Cloud by the swing of the air over a day, (hours,) 0 to 1; the record has none."""
    padded = np.pad(air_C, 12, mode="edge")
    day = np.lib.stride_tricks.sliding_window_view(padded, 25)
    swing = day.max(axis=1) - day.min(axis=1)
    seen = np.clip((CLEAR_RANGE_K - swing) / (CLEAR_RANGE_K - DULL_RANGE_K), 0.0, 1.0)
    return np.where(rain_mm > 0, 1.0, seen)


def sun_W_m2(times: list[datetime], latitude: float, longitude: float, cloud: Array) -> Array:
    """Sun on a level face [W/m2]; Haurwitz 1945, Kasten and Czeplak 1980, Cooper's declination."""
    day = np.array([at.timetuple().tm_yday for at in times])
    clock = np.array([at.hour for at in times]) + longitude / 15.0
    declination = np.radians(23.45 * np.sin(2 * np.pi * (284 + day) / 365))
    phi, turn = np.radians(latitude), np.radians(15.0 * (clock - 12.0))
    up = np.sin(phi) * np.sin(declination) + np.cos(phi) * np.cos(declination) * np.cos(turn)
    high = np.maximum(up, 1e-3)
    clear = np.where(up > 0, 1098.0 * high * np.exp(-0.057 / high), 0.0)
    return np.asarray(clear * (1 - 0.75 * cloud**3.4))


def sky_loss_W_m2(air_C: Array, cloud: Array) -> Array:
    """Net long-wave loss of a level black face as warm as the air [W/m2].

    Source: Swinbank 1963 (5.31e-13 T^6), Unsworth and Monteith 1975 for cloud, from memory.
    """
    full = SIGMA * (air_C + 273.15) ** 4
    clear = 5.31e-13 * (air_C + 273.15) ** 6 / full
    return np.asarray(full * (1 - clear) * (1 - 0.84 * cloud))


def film_W_m2K(wind_m_s: Array, air_C: Array) -> Array:
    """Convection (McAdams 1954: 5.7 + 3.8 v) and radiation about the air [W/m2K]."""
    return np.asarray(5.7 + 3.8 * wind_m_s + 4 * EMISSIVITY * SIGMA * (air_C + 273.15) ** 3)


def vapour_pressure_kPa(dew_point_C: Array) -> Array:
    """Magnus over water (WMO 8)."""
    return np.asarray(0.6112 * np.exp(17.62 * dew_point_C / (243.12 + dew_point_C)))


def told_of(
    random: np.random.Generator, came: AirSeries, cloud: Array, asked: datetime
) -> AirSeries:
    """What a service says at `asked`: the past as it was, the future by its last run."""
    midnight = asked.replace(hour=0)
    runs = (asked - RUN_DELAY_H * HOUR - midnight) / HOUR // RUNS_H
    issued = midnight + runs * RUNS_H * HOUR
    ahead = np.arange(came.hours) > came.hour_of(asked)
    error = np.where(ahead, forecast_error(random, came, issued), 0.0)
    air_C = came.air_C + error
    own, blows = random.standard_normal() * ahead, random.standard_normal()
    return replace(
        came,
        air_C=air_C,
        dew_point_C=np.minimum(came.dew_point_C + 0.7 * error + own, air_C),
        wind_m_s=np.minimum(came.wind_m_s * np.exp(0.3 * blows * ahead), WIND_MOST_M_S),
        cloud_fraction=np.clip(cloud + 0.25 * random.standard_normal() * ahead, 0.0, 1.0),
        lead_h=np.where(ahead, np.nan, OBSERVED),
        issued_at=issued,
    )
