"""Whether weather can be that of its place and season, and whether two accounts of it agree.

Wide on purpose: what fails here is in another unit, of another hour, place or year, never rare.
"""

from datetime import datetime

import numpy as np

from models.air.ensemble import padded
from models.air.series import HOUR, AirSeries
from models.facts.air import (
    LATITUDE,
    MEAN_INSIDE_K,
    MOST_OUTSIDE,
    SUMMER_HIGH_C,
    SUMMER_LOW_C,
    SWAPPED_K,
    WINTER_HIGH_C,
    WINTER_LOW_C,
)
from models.facts.normals import COLDEST_DAY
from models.units import Array

DAYS_FOR_A_MEAN_H = 120
COMPARED_H, COMPARED_AHEAD_H = 12, 72  # least and longest span of hours that two accounts share


def season(latitude: float, at: datetime) -> float:
    """From 0 in the heart of winter to 1 in that of summer, dimensionless.

    latitude : -90 to 90 [degrees]; at : aware instant

    Source: OWN_JUDGEMENT (a cosine a month behind the sun).
    """
    day = at.timetuple().tm_yday - COLDEST_DAY + (0.0 if latitude >= 0 else 182.6)
    return float(0.5 - 0.5 * np.cos(2 * np.pi * day / 365.25))


def hour_limits(latitude: float, at: datetime) -> tuple[float, float]:
    """Least and greatest air temperature of an hour at a latitude and time of the year [degC].

    latitude : -90 to 90 [degrees]; at : aware instant

    Source: WMO_EXTREMES; OWN_JUDGEMENT between its records.
    """
    summery = season(latitude, at)
    north = abs(latitude)

    def limit(winter: tuple[float, ...], summer: tuple[float, ...]) -> float:
        cold, warm = (np.interp(north, LATITUDE, table) for table in (winter, summer))
        return float(cold + summery * (warm - cold))

    return limit(WINTER_LOW_C, SUMMER_LOW_C), limit(WINTER_HIGH_C, SUMMER_HIGH_C)


def swing_K(air_C: Array, hour: Array) -> float:
    """How much warmer afternoons are than nights, the trend of the days taken off [K].

    air_C : (hours,) [degC], NaN where missing; hour : (hours,) local solar time 0 to 24 [h]

    Source: OWN_MEASURED_2013 for what it may be.
    """
    known = np.isfinite(air_C)
    index = np.arange(float(len(air_C)))
    slope, level = np.polyfit(index[known], air_C[known], 1)
    over = air_C - (slope * index + level)
    return float(np.nanmean(over[(hour >= 12) & (hour < 18)]) - np.nanmean(over[hour < 6]))


def impossible(air: AirSeries, latitude: float, longitude: float) -> str:
    """Why this cannot be the air of that place and time of the year; empty when it can.

    latitude, longitude [degrees]

    Source: WMO_EXTREMES; OWN_MEASURED_2013 for day and night.
    """
    known = np.isfinite(air.air_C)
    if air.typical or not known.any():
        return ""
    low, high = hour_limits(latitude, air.start + air.hours / 2 * HOUR)
    known_C = air.air_C[known]
    where = f"at latitude {latitude:.0f} in {air.start:%B}"
    outside = (known_C < low) | (known_C > high)
    if outside.mean() > MOST_OUTSIDE:
        far = float(known_C[outside][0])
        return f"{far:.0f} C {where}, where {low:.0f} to {high:.0f} C can be; another unit?"
    if known.sum() < DAYS_FOR_A_MEAN_H:
        return ""
    mean, low, high = float(known_C.mean()), low + MEAN_INSIDE_K, high - MEAN_INSIDE_K
    if not low <= mean <= high:
        return f"a mean of {mean:.0f} C {where}, where {low:.0f} to {high:.0f} C can be"
    solar: Array = (air.start.hour + longitude / 15 + np.arange(float(air.hours))) % 24
    swing = swing_K(air.air_C, solar)
    if swing < SWAPPED_K:
        return f"nights {-swing:.1f} K warmer than afternoons: its hours are shifted"
    return ""


def apart_K(one: AirSeries, other: AirSeries, begin: datetime) -> float:
    """How far one account of the hours ahead of `begin` lies over another, median [K].

    NaN where they share less than half a day.

    Source: OWN_JUDGEMENT (median, so that a front that comes late is no other climate).
    """
    ours, theirs = (_ahead(air, begin) for air in (one, other))
    difference = ours - theirs
    shared = difference[np.isfinite(difference)]
    return float(np.median(shared)) if len(shared) >= COMPARED_H else float("nan")


def _ahead(air: AirSeries, begin: datetime) -> Array:
    """The hours that are compared, rounded outwards [degC]; NaN where the record has none."""
    first = int(np.floor(air.hour_of(begin)))
    end = int(np.ceil(air.hour_of(begin + COMPARED_AHEAD_H * HOUR))) + 1
    return padded(air.air_C, first, end)


def over_reading_K(air: AirSeries, at: datetime, reading_C: float) -> float:
    """How far the air lies over a reading of that hour, NaN where it tells nothing of it [K].

    Up to three hours before its first hour that one stands for the reading.

    Source: OWN_JUDGEMENT.
    """
    hour = air.hour_of(at)
    row = 0 if -3 <= hour < 0 else round(hour)
    return float(air.air_C[row]) - reading_C if 0 <= row < air.hours else float("nan")
