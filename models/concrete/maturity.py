"""Maturity: temperature-time factor and the pace of equivalent age, by ASTM C1074."""

import numpy as np
from numpy.typing import ArrayLike

from models.facts.frost import HYDRATION_ENDS_C, HYDRATION_SLOWS_C
from models.units import GAS_J_MOLK, KELVIN, Array, within


def temperature_time_factor(
    temperature_C: ArrayLike, step_h: ArrayLike, *, datum_C: float
) -> Array:
    """Temperature-time factor at the end of each interval [degC h].

    M = sum (T - T0) dt; an interval whose mean is under the datum adds nothing.

    temperature_C : (..., time) [degC], -90 to 400
        Mean concrete temperature of each interval.
    step_h : scalar or (time,) [h], above 0
    datum_C : [degC], -20 to 10
        Temperature under which strength is taken not to grow.

    Returns (..., time) [degC h], never falling along time.
    Raises InputError outside the ranges.
    Source: ASTM_C1074, Nurse-Saul function.

    >>> float(temperature_time_factor([15.0] * 28, 24.0, datum_C=-11.0)[-1]) / 24
    728.0
    """
    T = within("temperature_C", temperature_C, -90.0, 400.0, "degC")
    dt = within("step_h", step_h, 1e-6, 1e5, "h")
    T0 = float(within("datum_C", datum_C, -20.0, 10.0, "degC"))
    return np.cumsum(np.maximum(T - T0, 0.0) * dt, axis=-1)


def rate(
    temperature_C: ArrayLike,
    *,
    activation_energy_kJ_mol: ArrayLike,
    rise_kJ_mol_K: ArrayLike = 0.0,
    reference_C: float = 20.0,
) -> Array:
    """Age factor: hours of equivalent age per hour, dimensionless.

    exp[-(E/R)(1/T - 1/Tr)] with E = Ea + rise (20 - T) under 20 degC; from -1 degC down it fades,
    and at -10 degC it is nothing: the water is ice by then.

    temperature_C : any shape [degC], -40 to 100
    activation_energy_kJ_mol : broadcastable [kJ/mol], 15 to 90
    rise_kJ_mol_K : broadcastable [kJ/(mol K)], 0 to 3; 1.47 is the temperature-dependent form
    reference_C : [degC], 5 to 40

    Raises InputError outside the ranges.
    Source: ASTM_C1074, equivalent-age function; FHP_1977 for the temperature-dependent form;
    CONCRETE_PRODUCER for its end at 14 F, OWN_JUDGEMENT for the straight line to it.

    >>> float(rate(15.0, activation_energy_kJ_mol=38.2, reference_C=25.0).round(3))
    0.586
    """
    T = within("temperature_C", temperature_C, -40.0, 100.0, "degC")
    Ea = within("activation_energy_kJ_mol", activation_energy_kJ_mol, 15.0, 90.0, "kJ/mol")
    rise = within("rise_kJ_mol_K", rise_kJ_mol_K, 0.0, 3.0)
    Tr = float(within("reference_C", reference_C, 5.0, 40.0, "degC"))
    E = (Ea + rise * np.maximum(20.0 - T, 0.0)) * 1e3
    thawed = np.clip((T - HYDRATION_ENDS_C) / (HYDRATION_SLOWS_C - HYDRATION_ENDS_C), 0.0, 1.0)
    return thawed * np.exp(-(E / GAS_J_MOLK) * (1 / (T + KELVIN) - 1 / (Tr + KELVIN)))
