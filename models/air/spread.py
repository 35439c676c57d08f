"""How far a temperature forecast may be off: by lead, or as the service itself tells."""

import numpy as np

from models.air.series import AirSeries
from models.facts.forecast import (
    BEYOND_GROWTH,
    BEYOND_SD_K,
    FORETOLD_C,
    HOURLY_MEMORY,
    LEAD_H,
    LEAD_SD_K,
    OVERCONFIDENCE,
    PAST_SD_K,
    RISES_H,
    WIDER_FACTOR,
)
from models.units import Array, Mask


def lead_sd(lead_h: Array, beyond: Mask, forecast_C: Array | None = None) -> Array:
    """Standard deviation of the temperature error [K] at a lead [h], (hours,); beyond is boolean.

    forecast_C : (hours,) [degC]: forecasts of frost miss by more, of warm nights by less

    Source: CITY_FORECASTS_2021 and OWN_JUDGEMENT (tables of facts.forecast).
    """
    table = np.interp(lead_h, LEAD_H, LEAD_SD_K)
    if forecast_C is not None:
        table = table * np.interp(forecast_C, FORETOLD_C, WIDER_FACTOR)
    sd: Array = np.where(lead_h < 0, PAST_SD_K, table)
    if not beyond.any():
        return sd
    fade, last = _faded(beyond)
    wide = np.sqrt(fade * sd[last] ** 2 + (1 - fade) * BEYOND_SD_K**2)
    joined: Array = np.where(beyond, np.maximum(sd, wide), sd)
    return joined


def lasting(beyond: Mask) -> Array:
    """Fraction of the variance of each hour that is the weather's own and lasts for days, (hours,).

    beyond : (hours,) boolean, hours that are no forecast; dimensionless, 0 to 1
    Source: OWN_JUDGEMENT (the error of the forecast fades with its memory).
    """
    if not beyond.any():
        return np.zeros(len(beyond))
    return np.where(beyond, 1 - _faded(beyond)[0], 0.0)


def _faded(beyond: Mask) -> tuple[Array, int]:
    """What is left of the forecast's variance at each hour, and its last row."""
    last = max(int(beyond.argmax()) - 1, 0)
    left: Array = BEYOND_GROWTH ** (2.0 * np.maximum(np.arange(len(beyond)) - last, 0))
    return left, last


def joined_sd(variance: Array, trust: Array, table_sd: Array, lead_h: Array) -> Array:
    """Standard deviation where a service tells its spread, going over into the table [K], (hours,).

    variance : (hours,) of what was told, already reduced by `trust` [K2]
    trust : (hours,) 1 where it was told, falling with the hours since, dimensionless
    table_sd : (hours,) [K]; lead_h : (hours,) [h]

    A service is never believed under the table: that takes its own record (air/score.py), which
    scales what is drawn.

    Source: OWN_JUDGEMENT (1.3 times the spread, the table at least).
    """
    stated = OVERCONFIDENCE**2 * variance + (1 - trust) * table_sd**2
    grown = np.clip((lead_h + 1) / (RISES_H + 1), 0.0, 1.0)  # out of what was observed
    stated = np.sqrt(PAST_SD_K**2 + grown * (stated - PAST_SD_K**2))
    sd: Array = np.where(lead_h < 0, table_sd, np.maximum(stated, table_sd))
    return sd


def stated_sd(series: AirSeries, lead_h: Array, table_sd: Array) -> Array:
    """Standard deviation by the spread that the service tells, else the table's [K], (hours,).

    lead_h : (hours,) [h]; table_sd : (hours,) [K]

    Source: OWN_JUDGEMENT (as `joined_sd`).
    """
    stated = np.where(lead_h < 0, np.nan, series.spread_K)
    if np.isnan(stated).all():
        return table_sd
    filled, trust = fading(stated[:, None])
    return joined_sd(filled[:, 0] ** 2, trust[:, 0], table_sd, lead_h)


def fading(columns: Array) -> tuple[Array, Array]:
    """Columns without gaps, fading before their first value and after their last; and the trust.

    Inside, gaps are closed by straight lines. Outside, a value counts by the memory of the error
    to the power of the hours since; the trust by its square.

    columns : (hours, k), each with a value somewhere; returned in their unit, trust dimensionless
    Source: ZHENG_2025 (first-order autoregressive).
    """
    hour = np.arange(float(len(columns)))
    known = np.isfinite(columns)
    filled = np.stack(
        [
            np.interp(hour, hour[ok], column[ok])
            for ok, column in zip(known.T, columns.T, strict=True)
        ],
        axis=1,
    )
    first, last = known.argmax(axis=0), len(columns) - 1 - known[::-1].argmax(axis=0)
    outside = np.maximum(np.maximum(first - hour[:, None], hour[:, None] - last), 0.0)
    fade = HOURLY_MEMORY**outside
    return filled * fade, fade**2
