"""What came of kept forecasts: how warm they run and how far they miss, by lead."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

import numpy as np

from models.air.ensemble import LIMITS, Ensemble
from models.air.series import AirSeries
from models.facts.forecast import DEW_FRACTION, LEAST_DAYS, PAST_SD_K, PRIOR_DAYS
from models.units import Array

Columns = TypeVar("Columns", AirSeries, Ensemble)
CLASSES_H = ((0.0, 12.0), (12.0, 24.0), (24.0, 48.0), (48.0, 96.0), (96.0, 168.0))
HALF_OF_80 = 1.2816  # standard deviations, normal distribution


@dataclass(frozen=True)
class Misses:
    """Forecasts against what came, one entry an hour and a run, (n,).

    lead_h : hours from the issue to the hour that is meant [h]
    error_K : forecast minus what came [K]
    stated_sd_K : standard deviation that would have been drawn [K]
    day : whole number of the day that is meant; the hours of one day are one witness
    came_sd_K : standard deviation of what is taken for what came [K]; empty: as of analysed hours
    """

    lead_h: Array
    error_K: Array
    stated_sd_K: Array
    day: Array
    came_sd_K: Array = field(default_factory=lambda: np.empty(0))


@dataclass(frozen=True)
class LeadScore:
    """What is believed of forecasts from from_h to to_h ahead, and what was seen of them.

    days : different days that were compared
    bias_K : how much too warm they are taken to be [K]; factor : of the spread, dimensionless
    seen_bias_K, seen_sd_K : mean of the misses, and their standard deviation about it [K]
    inside_80 : fraction of hours within the band that was stated to hold 80 % of them, 0 to 1
    """

    from_h: float
    to_h: float
    days: int
    bias_K: float
    factor: float
    seen_bias_K: float
    seen_sd_K: float
    inside_80: float


def scores(misses: Misses) -> tuple[LeadScore, ...]:
    """Bias [K] and factor of the spread by class of lead; classes without a day are left out.

    With n days compared, the bias is n / (n + 30) of the mean miss, and the square of the factor
    that fraction of the mean of (miss - bias)^2 + 0.5^2 over the stated variance, the rest one.
    Each day counts once. Under seven days: no bias, factor one. The 0.5 K is the doubt of what
    came: analysed hours err with the forecast; hours foretold just before have more of it.

    Source: OWN_JUDGEMENT; conjugate-prior shrinkage.
    """
    found = [_of_class(misses, low, high) for low, high in CLASSES_H]
    return tuple(one for one in found if one is not None)


def _of_class(misses: Misses, low: float, high: float) -> LeadScore | None:
    inside = (misses.lead_h >= low) & (misses.lead_h < high)
    inside &= np.isfinite(misses.error_K) & (misses.stated_sd_K > 0)
    if not inside.any():
        return None
    error, stated = misses.error_K[inside], misses.stated_sd_K[inside]
    came_sd = misses.came_sd_K[inside] if len(misses.came_sd_K) else PAST_SD_K
    days, which, hours = np.unique(misses.day[inside], return_inverse=True, return_counts=True)
    weight = 1.0 / (hours[which] * len(days))
    mean = float(weight @ error)
    sd = float(np.sqrt(weight @ (error - mean) ** 2))
    inside_80 = float(weight @ (np.abs(error) <= HALF_OF_80 * stated))
    count = len(days)
    if count < LEAST_DAYS:
        return LeadScore(low, high, count, 0.0, 1.0, mean, sd, inside_80)
    fraction = count / (count + PRIOR_DAYS)
    bias = fraction * mean
    ratio = weight @ (((error - bias) ** 2 + came_sd**2) / stated**2)
    factor = float(np.sqrt(1 - fraction + fraction * ratio))
    return LeadScore(low, high, count, bias, factor, mean, sd, inside_80)


def corrected(series: AirSeries, calibrated: Sequence[LeadScore]) -> AirSeries:
    """The forecast without its bias, its spread scaled [degC, K]; the past stays as it is.

    From class to class both go over by straight lines between the middles.

    Source: OWN_JUDGEMENT (linear between classes); OWN_MEASURED_2013 for the dew point's share.
    """
    if not any(one.bias_K or one.factor != 1.0 for one in calibrated):
        return series
    lead = series.leads()
    middle = [0.0, *((one.from_h + one.to_h) / 2 for one in calibrated)]
    bias = np.interp(lead, middle, [0.0, *(one.bias_K for one in calibrated)])
    factor = np.interp(lead, middle, [1.0, *(one.factor for one in calibrated)])
    ensemble = series.ensemble and _without(series.ensemble, bias[:, None])
    factor = series.spread_factor * factor
    return replace(_without(series, bias), ensemble=ensemble, spread_factor=factor)


def _without(columns: Columns, bias: Array) -> Columns:
    """Air and dew point without the bias; no dew point over its air, missing stays missing."""
    air_C = np.clip(columns.air_C - bias, *LIMITS["air_C"])
    dew_C = columns.dew_point_C - DEW_FRACTION * bias
    capped: Array = np.where(dew_C > air_C, air_C, np.clip(dew_C, *LIMITS["dew_point_C"]))
    return replace(columns, air_C=air_C, dew_point_C=capped)
