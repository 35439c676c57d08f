"""Moist air: vapour pressure, dew point, relative humidity, over water by Magnus."""

import numpy as np
from numpy.typing import ArrayLike

from models.facts.air import MAGNUS_A_HPA, MAGNUS_M, MAGNUS_TN_C
from models.units import Array, within


def saturation_pressure(temperature_C: ArrayLike) -> Array:
    """Saturation vapour pressure over water [hPa].

    e = 6.112 exp(17.62 T / (243.12 + T)).

    temperature_C : any shape [degC], -80 to 100

    Raises InputError outside the range or where not finite.
    Source: WMO_8.

    >>> float(saturation_pressure(20.0).round(2))
    23.33
    """
    T = within("temperature_C", temperature_C, -80.0, 100.0, "degC")
    return MAGNUS_A_HPA * np.exp(MAGNUS_M * T / (MAGNUS_TN_C + T))


def dew_point(air_C: ArrayLike, rh_fraction: ArrayLike) -> Array:
    """Dew point over water [degC].

    air_C : any shape [degC], -60 to 100
    rh_fraction : same shape or broadcast, dimensionless, 0.001 to 1.05; above 1 counts as 1

    Raises InputError outside the ranges.
    Source: WMO_8.

    >>> float(dew_point(20.0, 0.5).round(2))
    9.26
    """
    T = within("air_C", air_C, -60.0, 100.0, "degC")
    r = np.minimum(within("rh_fraction", rh_fraction, 0.001, 1.05), 1.0)
    gamma = np.log(r) + MAGNUS_M * T / (MAGNUS_TN_C + T)
    return MAGNUS_TN_C * gamma / (MAGNUS_M - gamma)


def dew_point_of(vapour_hPa: ArrayLike) -> Array:
    """Dew point of air with so much vapour in it [degC]: `saturation_pressure` turned round.

    vapour_hPa : any shape [hPa], 1e-4 to 1000

    Raises InputError outside the range or where not finite.
    Source: WMO_8.

    >>> float(dew_point_of(23.33).round(1))
    20.0
    """
    e = within("vapour_hPa", vapour_hPa, 1e-4, 1000.0, "hPa")
    gamma = np.log(e / MAGNUS_A_HPA)
    return MAGNUS_TN_C * gamma / (MAGNUS_M - gamma)


def rh_fraction(air_C: ArrayLike, dew_point_C: ArrayLike) -> Array:
    """Relative humidity, dimensionless, 0 to 1; a dew point above the air counts as 1.

    air_C, dew_point_C : broadcastable shapes [degC], -80 to 100

    Raises InputError outside the range.
    Source: WMO_8.

    >>> float(rh_fraction(25.0, 12.0).round(3))
    0.443
    """
    ratio = saturation_pressure(dew_point_C) / saturation_pressure(air_C)
    return np.minimum(ratio, 1.0)
