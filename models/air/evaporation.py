"""Evaporation of water from a fresh, wet concrete face."""

import numpy as np
from numpy.typing import ArrayLike

from models.air.psychrometrics import saturation_pressure
from models.draws import Draws
from models.facts.air import EVAPORATION_J_KG, MENZEL_FROM_C, PSYCHROMETRIC_HPA_K, UNO, UNO_WITHIN
from models.rng import ROOT
from models.units import Array, within


def evaporation_rate(
    *, concrete_C: ArrayLike, air_C: ArrayLike, rh_fraction: ArrayLike, wind_km_h: ArrayLike
) -> Array:
    """Rate of evaporation from a wet face [kg/(m2 h)]; condensation counts as 0.

    E = 5 ([Tc + 18]^2.5 - r [Ta + 18]^2.5) (V + 4) 1e-6; loose by up to 40 % in the field. Under
    -18 degC its term is nothing, as the vapour of such air nearly is.

    concrete_C, air_C : broadcastable [degC], -90 to 100
    rh_fraction : dimensionless, 0 to 1
    wind_km_h : [km/h] at 0.5 m over the face, 0 to 220

    Raises InputError outside the ranges.
    Source: UNO_1998, SI form.

    >>> float(evaporation_rate(concrete_C=31, air_C=27, rh_fraction=0.5, wind_km_h=19).round(3))
    1.152
    """
    Tc = within("concrete_C", concrete_C, -90.0, 100.0, "degC")
    Ta = within("air_C", air_C, -90.0, 100.0, "degC")
    r = within("rh_fraction", rh_fraction, 0.0, 1.0)
    V = within("wind_km_h", wind_km_h, 0.0, 220.0, "km/h")
    scale, shift_C, power, calm_km_h = UNO
    face, air = (np.maximum(T + shift_C, 0.0) ** power for T in (Tc, Ta))
    dries = face - r * air
    E = scale * dries * (V + calm_km_h) * 1e-6
    return np.maximum(E, 0.0)


def drying_film(air_C: ArrayLike, wind_m_s: ArrayLike) -> Array:
    """The film of heat [W/m2K] that takes along as much as evaporates by `evaporation_rate`.

    hd = 0.668 L E / es: a face at T in air of vapour pressure e loses hd / 0.668 (es(T) - e). E is
    that of a face as warm as dry air. Under 20 degC the formula falls off the difference of vapour
    pressures that it stands for (MENZEL_1954), and hd keeps its value at 20.

    air_C : any shape [degC], over 80 as at 80; wind_m_s : broadcastable [m/s], 0 to 61

    Raises InputError outside the ranges.
    Source: UNO_1998 for E, FAO_56 for the psychrometric constant and the latent heat.

    >>> float(drying_film(20.0, 2.0).round(1))
    9.7
    """
    T = np.clip(air_C, MENZEL_FROM_C, 80.0)
    kg_m2h = evaporation_rate(
        concrete_C=T, air_C=T, rh_fraction=0.0, wind_km_h=3.6 * np.asarray(wind_m_s)
    )
    W_m2 = EVAPORATION_J_KG / 3600.0 * kg_m2h
    return np.asarray(PSYCHROMETRIC_HPA_K * W_m2 / saturation_pressure(T))


def formula_doubt(members: int, seed: int = ROOT) -> Array:
    """Factors by which the members' true evaporation differs from the formula, dimensionless.

    Log-normal, two standard deviations at 40 %.

    members : 1 to 4096; seed : the same factors each time

    Source: HOVER_2020.
    """
    return np.asarray(np.exp(0.5 * np.log(UNO_WITHIN) * Draws(members, seed).normal("evaporation")))
