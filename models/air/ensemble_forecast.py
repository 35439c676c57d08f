"""What a service's own members make of the error of its forecast."""

from dataclasses import dataclass

import numpy as np

from models.air.ensemble import LEAST_MEMBERS, Ensemble
from models.air.series import AirSeries
from models.air.spread import fading, joined_sd
from models.facts.forecast import ANCHOR_SD_K, CENTRED_H, HOURLY_MEMORY, OWN_MEAN_H
from models.units import Array


@dataclass(frozen=True)
class EnsembleForecast:
    """Error of the drawn members against the forecast, without the site's: (hours,) or (.., drawn).

    offset_K : (hours,) mean of the members over the forecast [K]
    apart_K : (hours, drawn) each drawn member over that mean [K]
    dew_offset_K, dew_apart_K : the same of the dew point; zero where it was not served
    has_dew_point : whether it was
    sd_K : (hours,) standard deviation of the whole error [K]
    noise_sd_K : (hours,) of what the members leave out [K]
    drawn : the drawn members' columns as they were served; NaN before the forecast was made
    """

    offset_K: Array
    apart_K: Array
    dew_offset_K: Array
    dew_apart_K: Array
    has_dew_point: bool
    sd_K: Array
    noise_sd_K: Array
    drawn: Ensemble


def ensemble_forecast(
    series: AirSeries, lead_h: Array, table_sd: Array, share: Array
) -> EnsembleForecast | None:
    """The service's members as drawn ones [K]; None with fewer than eight of them.

    Every served member is drawn equally often, or an even choice from the cold to the warm ones.
    For two days they stand about the forecast, from the fifth on about their own mean. Where the
    observed past ends they differ by little and part with the memory of the error; a member that
    ends fades the same way, and the table takes over.

    lead_h : (hours,) [h]; table_sd : (hours,) [K]
    share : (drawn,) where each drawn member stands between cold and warm, 0 to 1 dimensionless

    Source: OWN_JUDGEMENT; ZHENG_2025 for the memory.
    """
    if series.ensemble is None:
        return None
    ahead = np.flatnonzero(lead_h >= 0)
    if not len(ahead):
        return None
    first = int(ahead[0])
    speak = np.flatnonzero(np.isfinite(series.ensemble.air_C[first:]).any(axis=0))
    if len(speak) < LEAST_MEMBERS:
        return None
    ensemble = (
        series.ensemble.chosen(speak).rows(first, series.hours).rows(-first, series.hours - first)
    )
    own_fraction = np.interp(lead_h, (CENTRED_H, OWN_MEAN_H), (0.0, 1.0))
    over, trust = fading(ensemble.air_C - series.air_C[:, None])
    mean = over.mean(axis=1)
    apart = over - mean[:, None]
    sd = joined_sd(apart.var(axis=1, ddof=1), trust.mean(axis=1), table_sd, lead_h)
    apart = _anchored(apart, first)
    by_warmth = np.argsort(apart.mean(axis=0), kind="stable")
    pick = by_warmth[(share * len(by_warmth)).astype(int)]
    noise_sd = np.sqrt(np.maximum(sd**2 - apart.var(axis=1), 0.0))
    dew_mean, dew_apart = _dew(ensemble, series, first)
    return EnsembleForecast(
        own_fraction * mean,
        apart[:, pick],
        own_fraction * dew_mean,
        dew_apart[:, pick],
        bool(dew_apart.any()),
        sd,
        noise_sd,
        ensemble.chosen(pick),
    )


def _dew(ensemble: Ensemble, series: AirSeries, first: int) -> tuple[Array, Array]:
    over = ensemble.dew_point_C - series.dew_point_C[:, None]
    if not np.isfinite(over).any(axis=0).all():
        return np.zeros(series.hours), np.zeros(over.shape)
    filled, _ = fading(over)
    mean = filled.mean(axis=1)
    return mean, _anchored(filled - mean[:, None], first)


def _anchored(apart: Array, first: int) -> Array:
    """Members brought together at row `first`, where the past ends; they part again from there."""
    start = apart[first]
    near = start * min(1.0, ANCHOR_SD_K / max(float(start.std()), 1e-9))
    since = np.arange(len(apart))[:, None] - first
    fade = HOURLY_MEMORY ** np.abs(since)
    anchored: Array = np.where(since < 0, near * fade, apart - (start - near) * fade)
    return anchored
