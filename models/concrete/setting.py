"""Set and working time: how long the mix can be placed and finished."""

import numpy as np
from numpy.typing import ArrayLike

from models.facts.fresh import DRY_HEAT_RATIO, HALVING_K, ICE_K
from models.units import Array, within


def working_time_min(
    mix_C: ArrayLike, *, label_min: float, label_C: float, halving_K: float = HALVING_K
) -> Array:
    """Working time of a fresh mix at its temperature [min].

    t = t_label 2^((T_label - T) / 11 K).

    mix_C : any shape [degC], -20 to 80
    label_min : [min], 1 to 600
    label_C : [degC], 5 to 40
    halving_K : [K], 5 to 25

    Raises InputError outside the ranges.
    Source: COMMON_PRACTICE.

    >>> float(working_time_min(33.333, label_min=90, label_C=22.778).round(0))
    46.0
    """
    T = within("mix_C", mix_C, -20.0, 80.0, "degC")
    t = within("label_min", label_min, 1.0, 600.0, "min")
    reference = within("label_C", label_C, 5.0, 40.0, "degC")
    return t * np.exp2((reference - T) / within("halving_K", halving_K, 5.0, 25.0, "K"))


def mix_temperature(
    *,
    dry_kg: float,
    dry_C: float,
    water_kg: float,
    water_C: float,
    ice_kg: float = 0.0,
    dry_heat_ratio: float = DRY_HEAT_RATIO,
) -> float:
    """Temperature of a fresh mix of dry bag, water and ice [degC].

    T = (0.22 Td Wd + Tw Ww - 79.7 Wi) / (0.22 Wd + Ww + Wi).

    dry_kg, water_kg, ice_kg : [kg], dry above 0, others 0 or more
    dry_C, water_C : [degC], -20 to 100
    dry_heat_ratio : heat capacity of the solids against water, dimensionless, 0.15 to 0.30

    Raises InputError outside the ranges.
    Source: CRD_C_307, with the mixing formula of ACI 306R.

    >>> round(mix_temperature(dry_kg=27.2, dry_C=5, water_kg=3.0, water_C=60), 1)
    23.4
    """
    Wd = float(within("dry_kg", dry_kg, 1e-3, 1e5, "kg"))
    Ww = float(within("water_kg", water_kg, 0.0, 1e5, "kg"))
    Wi = float(within("ice_kg", ice_kg, 0.0, 1e5, "kg"))
    Td = float(within("dry_C", dry_C, -20.0, 100.0, "degC"))
    Tw = float(within("water_C", water_C, 0.0, 100.0, "degC"))
    ratio = float(within("dry_heat_ratio", dry_heat_ratio, 0.15, 0.30))
    return (ratio * Td * Wd + Tw * Ww - ICE_K * Wi) / (ratio * Wd + Ww + Wi)


def water_temperature_for(
    *,
    wanted_C: float,
    dry_kg: float,
    dry_C: float,
    water_kg: float,
    dry_heat_ratio: float = DRY_HEAT_RATIO,
) -> float:
    """Water temperature that gives a wanted mix temperature [degC].

    wanted_C : [degC], 0 to 50
    dry_kg, water_kg : [kg], above 0
    dry_C : [degC], -20 to 60
    dry_heat_ratio : dimensionless, 0.15 to 0.30

    Raises InputError outside the ranges. The answer may lie outside what a tap or kettle gives:
    the caller says so.
    Source: ACI_306R mixing formula, solved for the water; CONCRETE_SOCIETY_935 prints the same.

    >>> round(water_temperature_for(wanted_C=20, dry_kg=27.2, dry_C=5, water_kg=3.0), 1)
    49.9
    """
    T = float(within("wanted_C", wanted_C, 0.0, 50.0, "degC"))
    Wd = float(within("dry_kg", dry_kg, 1e-3, 1e5, "kg"))
    Ww = float(within("water_kg", water_kg, 1e-3, 1e5, "kg"))
    Td = float(within("dry_C", dry_C, -20.0, 60.0, "degC"))
    ratio = float(within("dry_heat_ratio", dry_heat_ratio, 0.15, 0.30))
    return (T * (ratio * Wd + Ww) - ratio * Td * Wd) / Ww
