"""Evaporation of water from a fresh, wet concrete face."""

import numpy as np
from numpy.typing import ArrayLike

from models.draws import Draws
from models.facts.air import UNO, UNO_WITHIN
from models.rng import ROOT
from models.units import Array, within


def evaporation_rate(
    *, concrete_C: ArrayLike, air_C: ArrayLike, rh_fraction: ArrayLike, wind_km_h: ArrayLike
) -> Array:
    """Rate of evaporation from a wet face [kg/(m2 h)]; condensation counts as 0.

    E = 5 ([Tc + 18]^2.5 - r [Ta + 18]^2.5) (V + 4) 1e-6; loose by up to 40 % in the field.

    concrete_C, air_C : broadcastable [degC], -17 to 80
    rh_fraction : dimensionless, 0 to 1
    wind_km_h : [km/h] at 0.5 m over the face, 0 to 150

    Raises InputError outside the ranges.
    Source: UNO_1998, SI form.

    >>> float(evaporation_rate(concrete_C=31, air_C=27, rh_fraction=0.5, wind_km_h=19).round(3))
    1.152
    """
    Tc = within("concrete_C", concrete_C, -17.0, 80.0, "degC")
    Ta = within("air_C", air_C, -17.0, 80.0, "degC")
    r = within("rh_fraction", rh_fraction, 0.0, 1.0)
    V = within("wind_km_h", wind_km_h, 0.0, 150.0, "km/h")
    scale, shift_C, power, calm_km_h = UNO
    dries = (Tc + shift_C) ** power - r * (Ta + shift_C) ** power
    E = scale * dries * (V + calm_km_h) * 1e-6
    return np.maximum(E, 0.0)


def formula_doubt(members: int, seed: int = ROOT) -> Array:
    """Factors by which the members' true evaporation differs from the formula, dimensionless.

    Log-normal, two standard deviations at 40 %.

    members : 1 to 4096; seed : the same factors each time

    Source: HOVER_2020.
    """
    return np.asarray(np.exp(0.5 * np.log(UNO_WITHIN) * Draws(members, seed).normal("evaporation")))
