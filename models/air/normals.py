"""What a place and a season can have: mean air by the normals of the towns around, wide limits."""

from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from models.facts import normals as facts
from models.units import Array, number_within


@dataclass(frozen=True)
class Normal:
    """Mean air of a day [degC], its standard deviation from year to year [K], from there to the
    usual low and high of the day [K]."""

    mean_C: float
    sd_K: float
    half_day_K: float = facts.HALF_DAY_K
    place_sd_K: float = 0.0  # of the mean: what lies between the towns

    def off(self, air_C: ArrayLike) -> Array:
        """How many deviations a temperature lies outside the usual low and high, any shape [-]."""
        apart = np.abs(np.asarray(air_C, dtype=np.float64) - self.mean_C) - self.half_day_K
        return np.maximum(apart, 0.0) / self.sd_K


@lru_cache(maxsize=512)  # a pour asks for the same days at every reckoning
def normal(latitude: float, longitude: float, at: datetime) -> Normal:
    """The normal of a place at a time of the year, out of those of the towns around it.

    A cosine over the year through January and July, towns weighed by the third power of their
    distance; the year's second wave (monsoon) is left to the deviation.

    latitude, longitude : [degrees]; at : aware instant

    Source: facts.normals (from memory); OWN_MEASURED_2013 for the deviation.
    """
    number_within("latitude", latitude, -90.0, 90.0, "degrees")
    number_within("longitude", longitude, -180.0, 180.0, "degrees")
    lat, lon, january, july = np.array(facts.TOWNS).T
    away = _km(latitude, longitude, lat, lon)
    weight = 1.0 / np.maximum(away, facts.NEAR_KM) ** 3
    weight /= weight.sum()
    first, second = float(weight @ january), float(weight @ july)
    wave = float(np.cos(2 * np.pi * (at.timetuple().tm_yday - facts.COLDEST_DAY) / 365.25))
    mean = (first + second) / 2 + (first - second) / 2 * wave
    span = abs(second - first)
    winter = (1 + wave * np.sign(second - first)) / 2
    swing = facts.SUMMER_FRACTION + (facts.WINTER_FRACTION - facts.SUMMER_FRACTION) * winter
    daily = facts.STEADY_SD_K + span * swing
    place_sd = float(np.hypot(facts.BETWEEN_SD_K, facts.FAR_SD_K_KM * float(away.min())))
    return Normal(mean, float(np.hypot(daily, place_sd)), place_sd_K=place_sd)


def _km(latitude: float, longitude: float, lat: Array, lon: Array) -> Array:
    """Distances on the globe [km]."""
    a, b = np.radians(latitude), np.radians(lat)
    apart = np.radians(lon - longitude)
    near = np.sin((b - a) / 2) ** 2 + np.cos(a) * np.cos(b) * np.sin(apart / 2) ** 2
    distance: Array = 2 * facts.EARTH_KM * np.arcsin(np.sqrt(np.minimum(near, 1.0)))
    return distance
