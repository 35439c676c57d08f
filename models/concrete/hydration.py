"""Degree of hydration and the heat it releases."""

import numpy as np
from numpy.typing import ArrayLike

from models.units import Array, within


def degree_of_hydration(
    equivalent_age_h: ArrayLike, *, ultimate: ArrayLike, tau_h: ArrayLike, beta: ArrayLike
) -> Array:
    """Degree of hydration, dimensionless: alpha_u exp(-(tau / te)^beta).

    equivalent_age_h : any shape [h], 0 or more
    ultimate : broadcastable, dimensionless, above 0 to 1
    tau_h : broadcastable [h], 0.1 to 200
    beta : broadcastable, dimensionless, 0.1 to 5

    Raises InputError outside the ranges.
    Source: SCHINDLER_FOLLIARD_2005; FHP_1977.

    >>> float(degree_of_hydration(27.0, ultimate=0.85, tau_h=13.5, beta=0.9).round(6))
    0.497378
    """
    te = within("equivalent_age_h", equivalent_age_h, 0.0, 1e7, "h")
    u = within("ultimate", ultimate, 1e-6, 1.0)
    tau = within("tau_h", tau_h, 0.1, 200.0, "h")
    b = within("beta", beta, 0.1, 5.0)
    x = tau / np.maximum(te, 1e-9)
    return np.where(te > 0, u * np.exp(-(x**b)), 0.0)


def ultimate_degree(water_cement: ArrayLike) -> Array:
    """Ultimate degree of hydration of Portland cement, dimensionless.

    1.031 w/c / (0.194 + w/c).

    water_cement : any shape, dimensionless, 0.2 to 1.0

    Raises InputError outside the range.
    Source: MILLS_1966.

    >>> float(ultimate_degree(0.5).round(4))
    0.7428
    """
    wc = within("water_cement", water_cement, 0.2, 1.0)
    return np.minimum(1.031 * wc / (0.194 + wc), 1.0)


def adiabatic_rise(
    cement_kg_m3: ArrayLike, heat_kJ_kg: ArrayLike, heat_capacity_kJ_m3K: float
) -> Array:
    """Final temperature rise without any loss [K]: C H / (rho c).

    cement_kg_m3 : any shape [kg/m3], 0 to 1200
    heat_kJ_kg : broadcastable [kJ/kg of cement], 0 to 700, ultimate degree included
    heat_capacity_kJ_m3K : [kJ/(m3 K)], 1000 to 4000

    Raises InputError outside the ranges.
    Source: energy balance.

    >>> float(adiabatic_rise(400.0, 509 * 0.639423, 2.458 * 870).round(2))
    60.88
    """
    C = within("cement_kg_m3", cement_kg_m3, 0.0, 1200.0, "kg/m3")
    H = within("heat_kJ_kg", heat_kJ_kg, 0.0, 700.0, "kJ/kg")
    return C * H / within("heat_capacity_kJ_m3K", heat_capacity_kJ_m3K, 1000.0, 4000.0)
